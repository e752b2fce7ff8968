import { readFile, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import {
  assess,
  CLAIM_LIMITS,
  readClaimFile,
  type Assessment,
  type ClaimFile,
} from '../../adjudication/adjudication.contract.js';
import { canonicalJson } from '../../kernel/canonical-json.js';
import { holidaysOf } from '../../platform/calendar/holidays.js';
import { packetPdf } from '../../recovery/packet/packet-pdf.js';
import { packetPictureOf, type PacketPicture } from '../../recovery/packet/packet-pictures.js';
import {
  completenessOf,
  demandCheck,
  LIABLE_PARTIES,
  packetContent,
  partyNameOf,
  type LiableParty,
  type PacketContent,
  type RecoveryDemand,
} from '../../recovery/recovery.contract.js';
import { claimDocuments, type ClaimDocuments } from '../claim-documents.js';
import { readOptions } from '../command-options.js';
import { readHolidays } from '../holidays-file.js';
import { BadInput, readJson } from '../json-input.js';
import { EXIT, Misused, type Io } from '../verb.js';

const OPTIONS = [
  '--to',
  '--party',
  '--claimant',
  '--catalogue',
  '--policy',
  '--evidence-model',
  '--checklist',
  '--as-of',
  '--holidays',
];

/**
 * `recovery packet CLAIM.json --to FILE.pdf`: the packet for one party, made from a claim file and the photos beside it.
 * @returns 0 when the packet is a complete claim, 1 when something is missing or nothing is to be demanded
 * @throws BadInput or Misused, which the entry turns into exit code 2
 */
export async function recoveryPacket(args: readonly string[], io: Io): Promise<number> {
  const { operands, options } = readOptions(args, OPTIONS);
  const [file] = operands;
  const to = options.get('--to');
  if (file === undefined || operands.length > 1) throw new Misused('Name one claim file.');
  if (file === '-') throw new Misused('The claim file cannot come from standard input: its photos lie beside it.');
  if (to === undefined || !/\.(pdf|json)$/.test(to))
    throw new Misused('Say where the packet goes: --to FILE.pdf or FILE.json.');
  const { claim, documents, assessment } = await judged(file, options, io);
  const demand = demandOf(assessment, partyAsked(options.get('--party')));
  if (demand === undefined) {
    io.err('Nothing is to be demanded of that party under this claim, so there is no packet.');
    return EXIT.findings;
  }
  const claimant = options.get('--claimant') ?? (demand.party === 'seller' ? 'The claimant' : claim.parties.retailer);
  const content = contentOf({ claim, documents, assessment, demand, claimant });
  const pictures = await picturesBeside(file, claim);
  const bytes = to.endsWith('.json') ? `${canonicalJson(content)}\n` : await packetPdf(content, pictures);
  await writeFile(to, bytes).catch((error: unknown) => {
    throw new BadInput(to, [{ pointer: '#', detail: `${to} cannot be written (${String(error)}).` }]);
  });
  io.out(JSON.stringify(summaryOf(content, to, pictures), null, 2));
  return content.completeness.standing === 'complete claim' ? EXIT.ok : EXIT.findings;
}

interface Judged {
  readonly claim: ClaimFile;
  readonly documents: ClaimDocuments;
  readonly assessment: Assessment;
}

async function judged(file: string, options: ReadonlyMap<string, string>, io: Io): Promise<Judged> {
  const json = await readJson(file, CLAIM_LIMITS.bytes, io);
  const asOf = options.get('--as-of');
  const dated = asOf !== undefined && typeof json === 'object' && json !== null ? { ...json, asOf } : json;
  const read = readClaimFile(dated);
  if (!read.ok) throw new BadInput(file, read.faults);
  const claim = read.value;
  const overrides = {
    catalogue: options.get('--catalogue'),
    policy: options.get('--policy'),
    evidenceModel: options.get('--evidence-model'),
    checklist: options.get('--checklist'),
  };
  const documents = await claimDocuments(claim, overrides, io);
  const own = options.get('--holidays');
  const isHoliday = holidaysOf(claim.jurisdiction, own === undefined ? {} : await readHolidays(own, io));
  const outcome = assess(claim, { ...documents, isHoliday });
  if (!outcome.ok) throw new BadInput(file, outcome.faults);
  return { claim, documents, assessment: outcome.value };
}

function partyAsked(text: string | undefined): LiableParty | undefined {
  if (text === undefined) return undefined;
  const party = LIABLE_PARTIES.find((candidate) => candidate === text);
  if (party === undefined) throw new Misused(`--party is one of ${LIABLE_PARTIES.join(', ')}.`);
  return party;
}

function demandOf(assessment: Assessment, party: LiableParty | undefined): RecoveryDemand | undefined {
  const { demands } = assessment.recovery;
  if (party !== undefined) return demands.find((demand) => demand.party === party);
  return demands.toSorted((a, b) => b.totalMinor - a.totalMinor)[0];
}

function contentOf(made: Judged & { readonly demand: RecoveryDemand; readonly claimant: string }): PacketContent {
  const { claim, documents, assessment, demand, claimant } = made;
  const filingClock = documents.policy.document.clocks?.find(({ stops }) => stops === 'carrier claim received');
  const filing = assessment.clocks.find(({ id }) => id === filingClock?.id);
  const party = demand.party as LiableParty;
  return packetContent({
    reference: `${claim.order.reference} ${party}`,
    madeAt: Temporal.Instant.from(claim.asOf).toString(),
    claimant,
    partyName: partyNameOf(party, claim.parties),
    demand,
    claim,
    assessment,
    costLines: assessment.remedy.costLines,
    clocks: assessment.clocks,
    checklist: documents.checklist,
    model: documents.model,
    completeness: completenessOf(demandCheck(claim, demand, {}, filing)),
    papers: [],
    later: [],
  });
}

async function picturesBeside(file: string, claim: ClaimFile): Promise<Map<string, PacketPicture>> {
  const pictures = new Map<string, PacketPicture>();
  for (const photo of claim.photos) {
    const original = await readFile(join(dirname(file), photo.file)).catch(() => undefined);
    pictures.set(
      photo.id,
      original === undefined
        ? { ok: false, because: 'the file is not beside the claim file' }
        : await packetPictureOf(original, photo.sha256),
    );
  }
  return pictures;
}

function summaryOf(content: PacketContent, to: string, pictures: ReadonlyMap<string, PacketPicture>): object {
  const { completeness, party, partyName, reference, amount, hashes } = content;
  return {
    packet: to,
    reference,
    party,
    partyName,
    total: amount.total,
    standing: completeness.standing,
    missing: [...completeness.elements, ...completeness.papers]
      .filter(({ state }) => state !== 'met')
      .map(({ says, state, mends, source }) => ({ says, state, mends, source })),
    photosNotShown: [...pictures].flatMap(([id, picture]) => (picture.ok ? [] : [{ id, because: picture.because }])),
    hashes,
  };
}
