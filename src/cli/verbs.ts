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
  schema: {
    summary: 'the JSON Schema of the claim file',
    usage: 'schema',
    run: async (args, io) => (await import('./verbs/about.js')).printSchema(args, io),
  },
  'samples load': {
    summary: 'fill an empty database with the sample people, documents and claims',
    usage: 'samples load',
    run: async (args, io) => (await import('./verbs/samples.js')).samplesLoad(args, io),
  },
  'events verify': {
    summary: 'walk the event chain of every claim and name each that was altered',
    usage: `events verify [--tenant ID]

  --tenant ID   only this tenant; needed where the database account sees one tenant at a time

Prints one JSON object. Exit codes: 0 every chain is whole, 1 at least one is not, 2 bad input.`,
    run: async (args, io) => (await import('./verbs/events.js')).verifyEvents(args, io),
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
