import { POLICY_VERBS } from './policy/policy-verbs.js';
import type { Verb } from './verb.js';

/**
 * The verbs of the command line, by the words that call them. Each loads its code when it is run, so that a verb never waits for
 * what another one needs.
 */
export const VERBS: Readonly<Record<string, Verb>> = {
  assess: {
    summary: 'what is broken, who answers, and what the customer gets, from a claim file',
    usage: `assess CLAIM.json [options]

  CLAIM.json              claim file; - reads standard input
  --catalogue FILE        catalogue of models (default: the sample catalogue)
  --policy FILE|ID        policy in place of the claim's
  --evidence-model FILE|ID
  --checklist FILE|ID     a FILE ends in .json; an ID is that of a shipped document, as in bed-base/1
  --as-of INSTANT         judge clocks as of this instant, as in 2026-03-02T10:15:00-05:00
  --holidays FILE         own list of public holidays

Prints one JSON object. Exit codes: 0 the service proposes, 1 a person or more information is needed, 2 bad input.`,
    run: async (args, io) => (await import('./verbs/assess.js')).assessClaim(args, io),
  },
  why: {
    summary: 'why one number of an assessment is what it is',
    usage: `why CLAIM.json POINTER [options]

  CLAIM.json              claim file; - reads standard input
  POINTER                 place in the assessment, as in /remedy/customerLines/0 or /responsibility/0/shares/0
  --catalogue FILE, --policy FILE|ID, --evidence-model FILE|ID, --checklist FILE|ID, --as-of INSTANT, --holidays FILE
                          as for assess

Prints one JSON object: the value and its chain of reasons, down to rules with their cells, observations in decibans, dated
parameters and sources. Exit codes: 0 done, 2 bad input, also where the assessment has nothing at that place.`,
    run: async (args, io) => (await import('./verbs/why.js')).whyValue(args, io),
  },
  'recovery packet': {
    summary: 'the claim on whoever answers, as one PDF, from a claim file',
    usage: `recovery packet CLAIM.json --to FILE.pdf [options]

  CLAIM.json              claim file, its photos beside it
  --to FILE               where the packet goes; a FILE that ends in .json gets the same as JSON
  --party PARTY           carrier, maker, seller or crew (default: the one of whom most is demanded)
  --claimant NAME         who demands (default: the retailer of the claim file, else "The claimant")
  --catalogue FILE, --policy FILE|ID, --evidence-model FILE|ID, --checklist FILE|ID, --as-of INSTANT, --holidays FILE
                          as for assess

Needs no database. Prints one JSON object that says what is in the packet and what it still lacks.
Exit codes: 0 the packet is a complete claim, 1 something is missing or nothing is to be demanded, 2 bad input.`,
    run: async (args, io) => (await import('./verbs/recovery.js')).recoveryPacket(args, io),
  },
  photo: {
    summary: 'everything that can be said of photos: metadata, quality, fingerprint, codes, doubts',
    usage: `photo FILE... [options]

  FILE                      photo; JPEG, PNG, WebP or HEIC
  --visit-from, --visit-to INSTANT
                            window of the visit; with it the time inside the photo is compared
  --delivered INSTANT       when the delivery was made, where that was later
  --address LAT,LON         place of the visit in degrees, as in 40.4462,-79.9823
  --taken INSTANT           when the sender's phone says that it was taken
  --received INSTANT        when it arrived (default: now)

Needs no database. Prints one line of JSON for each file.
Exit codes: 0 all are read and there is nothing to say against them, 1 something is doubted, advised or cannot be shown, 2 a file is
refused or cannot be had.`,
    run: async (args, io) => (await import('./verbs/photo.js')).describePhotos(args, io),
  },
  schema: {
    summary: 'the JSON Schema of the claim file',
    usage: 'schema',
    run: async (args, io) => (await import('./verbs/about.js')).printSchema(args, io),
  },
  'evidence check': {
    summary: 'whether an evidence model can be used',
    usage: `evidence check MODEL.json [--checklist FILE|ID]

  MODEL.json              evidence model; - reads standard input
  --checklist FILE|ID     also check it against this checklist

Prints one JSON object. Exit codes: 0 it can be used, 1 it has faults, 2 the file cannot be read.`,
    run: async (args, io) => (await import('./verbs/evidence.js')).checkModel(args, io),
  },
  'evidence order': {
    summary: 'checks that the sample claims need in the chosen order and in the order of the checklist',
    usage: `evidence order [SAMPLE...]

  SAMPLE   folder below sample-claims (default: all)

Prints one JSON object, and a table on standard error. Exit codes: 0 the chosen order needs no more checks and seconds in all,
1 it needs more, 2 bad input.`,
    run: async (args, io) => (await import('./verbs/evidence.js')).orderSamples(args, io),
  },
  'evidence learn': {
    summary: 'a draft of an evidence model, learnt from decided claims',
    usage: `evidence learn --lessons FILE --model FILE|ID --prior-claims N --likelihood-claims N --stated-on DATE

  --lessons FILE          decided claims, one JSON object a line (lesson/1); - reads standard input
  --model FILE|ID         evidence model to start from; an ID is that of a shipped document
  --prior-claims N        as how many decided claims the priors of a subject count
  --likelihood-claims N   as how many checked claims each likelihood counts
  --stated-on DATE        the day on which somebody chose these two numbers, as in 2026-03-31

Prints the draft as JSON. Exit codes: 0 a draft was learnt, 1 nothing was learnt or the draft cannot be used, 2 bad input.`,
    run: async (args, io) => (await import('./verbs/evidence.js')).learnFromLessons(args, io),
  },
  'evidence report': {
    summary: 'how well evidence models meet what people settled on',
    usage: `evidence report --lessons FILE [options]

  --lessons FILE          decided claims, one JSON object a line (lesson/1); - reads standard input
  --model FILE|ID         only this evidence model (default: the newest shipped version of each)
  --challenger FILE|ID    another version, scored on the same claims
  --policy FILE|ID        report abstention under the bar of this policy
  --on DATE               on this day

Prints one JSON object. Exit codes: 0 done, 1 no case could be scored, 2 bad input.`,
    run: async (args, io) => (await import('./verbs/evidence.js')).reportLessons(args, io),
  },
  ...POLICY_VERBS,
  'samples load': {
    summary: 'fill an empty database with the sample people, documents and claims',
    usage: 'samples load',
    run: async (args, io) => (await import('./verbs/samples.js')).samplesLoad(args, io),
  },
  'tenants open': {
    summary: 'open a house with its first administrator, for a production database',
    usage: `tenants open --name HOUSE --administrator NAME --email ADDRESS

  The administrator's phrase is read from standard input: one line of at least 15 characters.

Prints one JSON object with the ids. Exit codes: 0 opened, 2 bad input, 3 no database to be had.`,
    run: async (args, io) => (await import('./verbs/tenants.js')).openTenant(args, io),
  },
  'events verify': {
    summary: 'walk the event chain of every claim and name each that was altered',
    usage: `events verify [--tenant ID]

  --tenant ID   only this tenant; needed where the database account sees one tenant at a time

Prints one JSON object. Exit codes: 0 every chain is whole, 1 at least one is not, 2 bad input.`,
    run: async (args, io) => (await import('./verbs/events.js')).verifyEvents(args, io),
  },
  'decisions replay': {
    summary: 'judge kept claims again and name each judgement that does not come out byte for byte',
    usage: `decisions replay [--tenant ID] [--sample N]

  --tenant ID   only this tenant; needed where the database account sees one tenant at a time
  --sample N    about so many records, always the same ones (default: all)

Prints one JSON object. Exit codes: 0 every record comes out the same, 1 at least one does not, 2 bad input.`,
    run: async (args, io) => (await import('./verbs/decisions.js')).replayDecisions(args, io),
  },
  'store check': {
    summary: 'compare the originals of photos with the database, both ways',
    usage: `store check [--rehash] [--remove-orphans] [--json]

  --rehash           also read and hash every original
  --remove-orphans   delete originals that no photo refers to and that nobody put for a day
  --json             as always: one JSON object on standard output

Exit codes: 0 all is well, 1 something is missing, altered or orphaned, 2 it could not look.`,
    run: async (args, io) => (await import('./verbs/store.js')).storeCheck(args, io),
  },
  'store quota': {
    summary: 'what each house keeps of photos, and how much it may',
    usage: `store quota [--tenant ID [--photos N] [--gib N]]

  --tenant ID     only this house
  --photos N      it may keep so many photos; "default" for what the settings say
  --gib N         it may keep so many GiB; "default" likewise

Prints one JSON object. Exit codes: 0 done, 2 bad input or no database to be had.`,
    run: async (args, io) => (await import('./verbs/store.js')).storeQuota(args, io),
  },
  'db up': {
    summary: 'start the private database and leave it running',
    usage: 'db up',
    run: async (args, io) => (await import('./verbs/database.js')).databaseUp(args, io),
  },
  'db down': {
    summary: 'stop the private database',
    usage: 'db down [--force]\n\n  --force   stop it under the processes that still use it',
    run: async (args, io) => (await import('./verbs/database.js')).databaseDown(args, io),
  },
  version: {
    summary: 'name and version of this program',
    usage: 'version',
    run: async (args, io) => (await import('./verbs/about.js')).printVersion(args, io),
  },
};
