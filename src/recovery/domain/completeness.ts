import type { LiableParty, Paper, Particulars } from '../recovery.contract.js';
import type { TransportRegime } from '../../adjudication/adjudication.contract.js';

/** What a communication to a party amounts to. */
export type Standing = 'complete claim' | 'amount required' | 'notice of damage' | 'not a claim';

/** Papers that say that something is damaged and demand nothing; none of them alone is a claim (49 CFR 370.3(c)). */
export const DAMAGE_PAPERS = [
  'bad order report',
  'appraisal report',
  'note on a delivery receipt',
  'inspection report of the carrier',
] as const;
export type DamagePaper = (typeof DAMAGE_PAPERS)[number];

/** A communication to a party, as far as it matters whether it is a claim. */
export interface DemandToCheck {
  readonly party: LiableParty;
  /** Law of carriage it falls under; undefined where nobody said how the goods were carried. */
  readonly regime: TransportRegime | undefined;
  /** Only papers that report damage, and nothing that demands. */
  readonly onlyPapers?: readonly DamagePaper[];
  readonly inWriting: boolean;
  /** `late`: the time for filing is over; `no limit`: nothing sets one. */
  readonly time: 'in time' | 'late' | 'no limit';
  readonly identifiesShipment: boolean;
  readonly assertsLiability: boolean;
  /** `determinable`: an invoice value and a quantity without a total; `estimate`: "about 500". */
  readonly amount: 'specified' | 'determinable' | 'estimate' | 'none';
  readonly papers: readonly Paper[];
  readonly neverArrived: boolean;
  /** Written notice of the damage to the carrier: days after the delivery, null where none was given. */
  readonly notice: { readonly daysAfter: number; readonly by: 'consignee' | 'sender' | undefined } | null;
}

/** One thing that a claim must or should have. */
export interface Element {
  readonly id: string;
  readonly says: string;
  /** `late` weakens or bars, by its law; the demand can still go out. */
  readonly state: 'met' | 'missing' | 'late';
  readonly source: string;
  /** What mends it; empty where it is met. */
  readonly mends: string;
}

/** What a demand amounts to, with everything it must have (elements) and should have (papers). */
export interface Completeness {
  readonly standing: Standing;
  readonly elements: readonly Element[];
  readonly papers: readonly Element[];
}

/** Checks a communication against what a claim must contain: 49 CFR 370.3 for carriers, and the conventions' notices where they hold. */
export function completenessOf(demand: DemandToCheck): Completeness {
  const elements = [...claimElements(demand), ...noticeElements(demand)];
  return { standing: standingOf(demand), elements, papers: papersOf(demand) };
}

/** What a communication amounts to (49 CFR 370.3(b) to (d)). A notice starts no clock of the carrier's; an estimate none for payment. */
export function standingOf(demand: DemandToCheck): Standing {
  if (demand.onlyPapers !== undefined && demand.onlyPapers.length > 0) return 'notice of damage';
  const { inWriting, identifiesShipment, assertsLiability, time, amount } = demand;
  if (!inWriting || !identifiesShipment || !assertsLiability || time === 'late' || amount === 'none')
    return 'not a claim';
  return amount === 'estimate' ? 'amount required' : 'complete claim';
}

function claimElements(demand: DemandToCheck): Element[] {
  const { amount, time } = demand;
  const lawful = demand.party === 'carrier' ? '' : ', applied to every party as good practice';
  const source = (paragraph: string): string => `49 CFR 370.3(${paragraph})${lawful}`;
  return [
    element(
      'in writing',
      'In writing or electronic',
      demand.inWriting,
      source('b'),
      'Send it in writing; a telephone call is no claim.',
    ),
    {
      id: 'in time',
      says: 'Within the time for filing',
      state: time === 'late' ? 'late' : 'met',
      source: source('b'),
      mends:
        time === 'late' ? 'The time is over; ask a licensed professional whether anything still keeps it open.' : '',
    },
    element(
      'shipment',
      'Facts that identify the shipment',
      demand.identifiesShipment,
      source('b)(1'),
      'Add the number of the bill of lading or waybill, or the order number with the day of delivery.',
    ),
    element(
      'liability',
      'Asserts that the party is liable',
      demand.assertsLiability,
      source('b)(2'),
      'Say that the party is held liable for the loss or damage. A note of damage alone does not say it.',
    ),
    {
      id: 'amount',
      says: 'Asks for a specified or determinable amount',
      state: amount === 'specified' || amount === 'determinable' ? 'met' : 'missing',
      source: amount === 'estimate' ? source('d') : source('b)(3'),
      mends:
        amount === 'estimate'
          ? 'The amount is an estimate. Work it out and send a definite figure; nothing is paid on an estimate.'
          : amount === 'none'
            ? 'Name the amount, or an invoice value and a quantity from which it follows.'
            : '',
    },
  ];
}

/** Days for a written notice, by the law of carriage, and what being late does there. */
const NOTICES = {
  'international road': {
    days: 7,
    source: 'CMR art. 30(1); Sundays and public holidays are not counted',
    late: 'Late notice makes good delivery presumed until the contrary is proved; it ends nothing.',
  },
  air: {
    days: 14,
    source: 'Montreal Convention 1999 art. 31(2)',
    late: 'Late complaint bars the claim against the carrier, fraud apart; ask a licensed professional.',
  },
  sea: {
    days: 3,
    source: 'Hague-Visby Rules art. III r. 6',
    late: 'Late notice makes good delivery presumed until the contrary is proved; it ends nothing.',
  },
} as const;

/** Sundays and holidays between stretch seven days of the CMR to nine calendar days at least; what is later is for a person to count. */
const SUNDAYS_ALLOWED = 2;

function noticeElements(demand: DemandToCheck): Element[] {
  if (demand.party !== 'carrier' || demand.regime === undefined) return [];
  const rule = Object.hasOwn(NOTICES, demand.regime) ? NOTICES[demand.regime as keyof typeof NOTICES] : undefined;
  if (rule === undefined) return [];
  const { notice } = demand;
  const allowed = rule.days + (demand.regime === 'international road' ? SUNDAYS_ALLOWED : 0);
  const timely: Element['state'] = notice === null ? 'missing' : notice.daysAfter <= allowed ? 'met' : 'late';
  const mends =
    timely === 'missing' ? `Give the carrier written notice at once. ${rule.late}` : timely === 'late' ? rule.late : '';
  const elements: Element[] = [
    {
      id: 'notice',
      says: `Written notice of the damage within ${rule.days} days`,
      state: timely,
      source: rule.source,
      mends,
    },
  ];
  if (demand.regime === 'air') {
    const by = notice?.by === 'consignee';
    elements.push(
      element(
        'complainant',
        'The complaint came from whoever was entitled to delivery',
        by,
        'Montreal Convention 1999 art. 31(2)',
        'The consignee must complain in writing; a complaint by the sender alone does not do.',
      ),
    );
  }
  return elements;
}

function papersOf(demand: DemandToCheck): Element[] {
  if (demand.party !== 'carrier') return [];
  const wanted: Paper[] = ['bill of lading', 'freight bill', 'invoice'];
  if (demand.neverArrived) wanted.push('statement of non-delivery');
  return wanted.map((paper) =>
    element(paper, PAPER_SAYS[paper], demand.papers.includes(paper), '49 CFR 370.7, from memory', PAPER_MENDS[paper]),
  );
}

const PAPER_SAYS: Readonly<Record<Paper, string>> = {
  'bill of lading': 'Bill of lading or waybill',
  'freight bill': 'Evidence of the freight charges',
  invoice: 'Invoice or other proof of the price or value',
  'statement of non-delivery': "The consignee's certified statement that the goods did not arrive from anywhere else",
};

const PAPER_MENDS: Readonly<Record<Paper, string>> = {
  'bill of lading':
    'Attach it. That it is missing takes no liability away (49 U.S.C. 14706(a)(1)), but it will be asked for.',
  'freight bill': 'Attach the paid freight bill.',
  invoice: 'Attach the invoice for the goods.',
  'statement of non-delivery': 'Ask the consignee for it.',
};

function element(id: string, says: string, met: boolean, source: string, mends: string): Element {
  return { id, says, state: met ? 'met' : 'missing', source, mends: met ? '' : mends };
}

/** Particulars with later ones laid over earlier ones; what is given anew replaces what was there. */
export function mergedParticulars(before: Particulars, added: Particulars): Particulars {
  return { ...before, ...added };
}
