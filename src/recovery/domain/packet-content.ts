import { contentHash } from '../../kernel/canonical-json.js';
import { money, moneyDecimal } from '../../kernel/money.js';
import type {
  AmountLine,
  Assessment,
  ClaimFile,
  Clock,
  RecoveryDemand,
} from '../../adjudication/adjudication.contract.js';
import type { Model } from '../../catalogue/catalogue.contract.js';
import type { Checklist } from '../../inspections/inspections.contract.js';
import type { LiableParty } from '../recovery.contract.js';
import type { Completeness } from './completeness.js';
import { answersOf, photoSays, type AnsweredItem } from './packet-answers.js';

/** Everything that one recovery packet is made from. Nothing in it depends on the hour: `madeAt` is given. */
export interface PacketInputs {
  /** Our number of the demand, such as `12345678-9 carrier`. */
  readonly reference: string;
  /** RFC 3339 instant that stands on the packet. */
  readonly madeAt: string;
  /** Who demands. */
  readonly claimant: string;
  readonly partyName: string;
  readonly demand: RecoveryDemand;
  readonly claim: ClaimFile;
  readonly assessment: Assessment;
  readonly costLines: readonly AmountLine[];
  readonly clocks: readonly Clock[];
  readonly checklist: Checklist;
  readonly model: Model;
  readonly completeness: Completeness;
  readonly shipmentReference?: string | undefined;
  readonly theirReference?: string | undefined;
  readonly papers: readonly { readonly paper: string; readonly reference: string }[];
  /** What happened after the claim file, such as acts on the recovery. */
  readonly later: readonly { readonly at: string; readonly says: string }[];
}

/** A line of facts: what it is and what it says. */
export interface FactLine {
  readonly label: string;
  readonly value: string;
}

/** A photo of the packet: what it shows, and the hash of the original, which is kept unaltered. */
export interface PacketPhoto {
  readonly id: string;
  readonly says: string;
  readonly sha256: string;
}

/** A packet as data: the PDF says the same in the same order. */
export interface PacketContent {
  readonly format: 'packet/1';
  readonly reference: string;
  readonly title: string;
  readonly madeAt: string;
  /** The same on the wall clock of the place of delivery. */
  readonly made: string;
  readonly caution: string;
  readonly claimant: string;
  readonly party: LiableParty;
  readonly partyName: string;
  readonly shipment: readonly FactLine[];
  readonly assertion: readonly string[];
  readonly currency: string;
  readonly amount: {
    readonly lines: readonly AmountLine[];
    readonly totalMinor: number;
    readonly total: string;
    readonly costLines: readonly AmountLine[];
    readonly limit: readonly FactLine[];
  };
  readonly receipt: readonly FactLine[];
  readonly custody: readonly {
    readonly stage: string;
    readonly party: string;
    readonly condition: string;
    readonly at: string;
  }[];
  readonly timeline: readonly { readonly at: string; readonly local: string; readonly says: string }[];
  readonly findings: readonly FactLine[];
  readonly inspection: {
    readonly says: string;
    readonly answers: readonly AnsweredItem[];
  };
  readonly photos: readonly PacketPhoto[];
  readonly papers: readonly FactLine[];
  readonly completeness: Completeness;
  readonly clocks: readonly {
    readonly title: string;
    readonly ground: string;
    readonly source: string;
    readonly state: string;
    readonly lastDay: string;
  }[];
  /** SHA-256 over the canonical JSON (RFC 8785) of what the packet rests on. */
  readonly hashes: {
    readonly facts: string;
    readonly assessment: string;
    readonly policy: string;
    readonly checklist: string;
    readonly evidenceModel: string;
  };
}

export const PACKET_CAUTION =
  'Not legal advice. Local law, the contract of carriage and the written warranty prevail. Ask a licensed professional before you rely on an amount, a limit or a date in this packet.';

/** Puts a packet together. The same inputs give the same content, member by member. */
export function packetContent(inputs: PacketInputs): PacketContent {
  const { claim, demand, assessment, checklist } = inputs;
  const { currency } = assessment.remedy;
  const total = `${figure(demand.totalMinor, currency)} ${currency}`;
  return {
    format: 'packet/1',
    reference: inputs.reference,
    title: `Claim for loss or damage ${inputs.reference}`,
    madeAt: inputs.madeAt,
    made: local(inputs.madeAt, claim.zone),
    caution: PACKET_CAUTION,
    claimant: inputs.claimant,
    party: demand.party as LiableParty,
    partyName: inputs.partyName,
    shipment: shipmentFacts(inputs),
    assertion: assertionOf(inputs, total),
    currency,
    amount: {
      lines: demand.lines.map((line) => ({ ...line, says: lineSays(line, assessment) })),
      totalMinor: demand.totalMinor,
      total,
      costLines: inputs.costLines,
      limit: limitFacts(demand, currency),
    },
    receipt: receiptFacts(claim),
    custody: claim.delivery.custody.map(({ stage, party, condition, at }) => ({
      stage,
      party,
      condition: condition === 'exceptions' ? 'exceptions noted' : condition,
      at: at === undefined ? '' : local(at, claim.zone),
    })),
    timeline: timelineOf(inputs),
    findings: assessment.findings.map(({ title, leading, evidenceGrade }) => ({
      label: title.en,
      value: `${leading.component}: ${leading.fault}; origin ${leading.origin}, evidence ${evidenceGrade}`,
    })),
    inspection: {
      says: `Filled in from ${local(claim.inspection.startedAt, claim.zone)} by a crew of ${claim.inspection.crewSize}; checklist ${checklist.id}/${checklist.version}, "${checklist.title.en}".`,
      answers: answersOf(claim, checklist),
    },
    photos: claim.photos.map((photo) => ({ id: photo.id, says: photoSays(photo, checklist), sha256: photo.sha256 })),
    papers: inputs.papers.map(({ paper, reference }) => ({ label: paper, value: reference })),
    completeness: inputs.completeness,
    clocks: inputs.clocks
      .filter(({ state, lapse }) => state !== 'not started' && lapse !== 'internal')
      .map(({ title, ground, source, state, lastDay }) => ({
        title,
        ground,
        source,
        state,
        lastDay: lastDay ?? 'not known',
      })),
    hashes: {
      facts: contentHash(claim),
      assessment: contentHash(assessment),
      policy: assessment.documents.policy.hash,
      checklist: assessment.documents.checklist.hash,
      evidenceModel: assessment.documents.evidenceModel.hash,
    },
  };
}

function shipmentFacts(inputs: PacketInputs): FactLine[] {
  const { claim, model } = inputs;
  const { delivered } = claim.events;
  const grams = claim.transport?.grossGrams ?? model.grossGrams;
  return facts(
    ['Order', claim.order.reference],
    ['Shipment', inputs.shipmentReference],
    ['Their reference', inputs.theirReference],
    ['Goods', `${model.title}, ${claim.unit.sku}, one unit`],
    ['Serial number', claim.unit.serial],
    ['Gross weight', `${(grams / 1000).toFixed(3).replace(/\.?0+$/, '')} kg`],
    ['Maker', claim.parties.maker],
    ['Sold by', claim.parties.retailer],
    ['Carried by', claim.parties.carrier],
    ['Carriage', claim.transport?.regime],
    ['Delivered', delivered === undefined ? undefined : local(delivered, claim.zone)],
    ['Place of delivery', `jurisdiction ${claim.jurisdiction}, time zone ${claim.zone}`],
  );
}

function assertionOf({ claim, demand, partyName, claimant, reference }: PacketInputs, total: string): string[] {
  const goods = `the goods of order ${claim.order.reference}, serial number ${claim.unit.serial}`;
  const opening =
    demand.party === 'carrier'
      ? `${claimant} holds ${partyName} liable as carrier for the loss of or damage to ${goods}.`
      : `${claimant} holds ${partyName} liable as ${demand.party} for what it cost to put right ${goods}.`;
  return [
    opening,
    `${claimant} demands ${total}. The amount is definite; how it was worked out is set out below.`,
    `Please acknowledge this claim in writing under the number ${reference}, say what further evidence you need, and pay it, decline it with your reasons, or make a firm offer.`,
  ];
}

/** What limits the demand, where something does. A limit that nobody knows yet is ours to find, not for the packet to bring up. */
function limitFacts({ cap, cutMinor, salvageMinor }: RecoveryDemand, currency: string): FactLine[] {
  const salvage = salvageMinor === 0 ? undefined : `${figure(salvageMinor, currency)} ${currency}`;
  if (cap.limitMinor === null) return facts(['Salvage credited', salvage]);
  return facts(
    ['Limit of liability', `${figure(cap.limitMinor, currency)} ${currency}`],
    ['Basis', cap.basis],
    ['In special drawing rights', cap.sdr ?? undefined],
    ['Worked out', cap.working],
    ['Reason', cap.because === '' ? undefined : cap.because],
    ['Source', cap.source ?? undefined],
    ['Over the limit, not demanded', cutMinor === 0 ? undefined : `${figure(cutMinor, currency)} ${currency}`],
    ['Salvage credited', salvage],
  );
}

function receiptFacts(claim: ClaimFile): FactLine[] {
  const { receipt, receiptWords, foundAt, packaging, impactIndicator, tiltIndicator } = claim.delivery;
  return facts(
    ['Delivery receipt', receipt],
    ['Words on the receipt', receiptWords],
    ['Found at', foundAt],
    ['Carton and packing', packaging],
    ['Impact indicator', impactIndicator],
    ['Tilt indicator', tiltIndicator],
  );
}

const HAPPENED: Readonly<Record<string, string>> = {
  delivered: 'The goods were delivered, or delivery was refused.',
  noticed: 'The trouble was noticed.',
  'notice to carrier': 'The carrier was told.',
  filed: 'The claim was filed with the service.',
  proposed: 'A remedy was proposed.',
  decided: 'The claim was decided.',
  'refund agreed': 'A refund was agreed.',
  settled: 'The customer got the remedy.',
  'goods returned': 'The goods came back.',
  'safety reported': 'A safety report was made.',
  'carrier claim received': 'The carrier received the claim.',
  'carrier acknowledged': 'The carrier acknowledged the claim.',
  'carrier disposed': 'The carrier disposed of the claim.',
  'carrier disallowed': 'The carrier disallowed the claim.',
};

function timelineOf({ claim, later }: PacketInputs): PacketContent['timeline'] {
  const events = Object.entries(claim.events).flatMap(([name, at]) =>
    at === undefined ? [] : [{ at, says: HAPPENED[name] ?? name }],
  );
  const custody = claim.delivery.custody.flatMap(({ stage, party, condition, at }) =>
    at === undefined ? [] : [{ at, says: `Taken over for ${stage} by the ${party}, condition: ${condition}.` }],
  );
  const inspection = { at: claim.inspection.startedAt, says: 'The inspection began.' };
  return [...events, ...custody, inspection, ...later]
    .map((entry, order) => ({ ...entry, order, instant: Temporal.Instant.from(entry.at) }))
    .sort((a, b) => Temporal.Instant.compare(a.instant, b.instant) || a.order - b.order)
    .map(({ at, says }) => ({ at, local: local(at, claim.zone), says }));
}

/** "2026-03-04 10:10 −05:00": the wall clock of the place with its offset. */
function local(at: string, zone: string): string {
  const there = Temporal.Instant.from(at).toZonedDateTimeISO(zone);
  return `${there.toPlainDate().toString()} ${there.toPlainTime().toString({ smallestUnit: 'minute' })} ${there.offset}`;
}

function facts(...lines: readonly (readonly [label: string, value: string | undefined])[]): FactLine[] {
  return lines.flatMap(([label, value]) => (value === undefined ? [] : [{ label, value }]));
}

function figure(amountMinor: number, currency: string): string {
  return moneyDecimal(money(amountMinor, currency));
}

/** A line of a demand by the title of its finding in place of its code. */
function lineSays(line: AmountLine, assessment: Assessment): string {
  const finding = assessment.findings.find(({ subject }) => line.id === `share ${subject}`);
  return finding === undefined ? line.says : `Cost of putting right: ${finding.title.en}`;
}
