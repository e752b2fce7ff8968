import type {
  ClaimFile,
  ClaimPhoto,
  Delivery,
  ExceptedCause,
  Indicator,
  OrderLine,
} from '../../adjudication/adjudication.contract.js';
import type { Answer } from '../../inspections/inspections.contract.js';
import type { ClockStart } from '../../policies/policies.contract.js';
import type { Receipt } from '../../kernel/vocabulary.js';
import type { ClaimOpening } from '../claims.contract.js';

/** What the service has stored about a claim, gathered from the visit, the inspection and the claim itself. */
export interface GatheredFacts {
  readonly number: string | null;
  readonly opening: ClaimOpening;
  readonly visit: {
    readonly jurisdiction: string;
    readonly zone: string;
    readonly retailer: string;
    readonly carrier: string;
    readonly order: OrderLine;
    readonly receipt: Receipt | null;
    readonly receiptWords: string | null;
    readonly deliveredAt: string | null;
    readonly custody: Delivery['custody'];
  };
  readonly unit: { readonly sku: string; readonly serial: string; readonly maker: string };
  readonly documents: ClaimFile['documents'];
  readonly inspection: {
    readonly startedAt: string;
    readonly crewSize: number;
    readonly foundAt: Delivery['foundAt'];
    readonly answers: readonly Answer[];
  } | null;
  readonly photos: readonly ClaimPhoto[];
  /** Facts that a person supplied later, overriding what the inspection left open. */
  readonly supplied: SuppliedFacts;
  /** Instants of the claim's own life. */
  readonly happened: Partial<Readonly<Record<ClockStart, string>>>;
  /** Instants of the carrier's status letters. */
  readonly statusLetters?: readonly string[];
  readonly asOf: string;
}

export interface SuppliedFacts {
  readonly stepsFollowed?: boolean;
  readonly packaging?: Delivery['packaging'];
  readonly receipt?: Receipt;
  readonly receiptWords?: string;
  readonly deliveredAt?: string;
  readonly noticeToCarrierAt?: string;
  readonly failedRepairs?: number;
  /** Whether the notice to the carrier was made or confirmed in writing. */
  readonly noticeInWriting?: boolean;
  readonly inspectionRequested?: boolean;
  readonly complaintBy?: 'recipient' | 'sender';
  /** Whether the carrier has shown that it was free from negligence. */
  readonly carrierFreeOfNegligence?: boolean;
  readonly exceptedCause?: ExceptedCause;
}

/** Checklist items that every shipped checklist carries under the same id, so that delivery facts can be read from the answers. */
export const DELIVERY_ITEMS = {
  impact: 'impact-indicator',
  tilt: 'tilt-indicator',
  packaging: 'packaging-kept',
  receipt: 'receipt-kind',
  steps: 'steps-followed',
} as const;

/** Items of every shipped checklist that can be answered on a carton that nobody has opened; an answer to any other shows that it was. */
const CLOSED_CARTON_ITEMS: ReadonlySet<string> = new Set([
  'crew-size',
  'time-in-use',
  'carton-faces',
  'carton-marks',
  DELIVERY_ITEMS.impact,
  DELIVERY_ITEMS.tilt,
  DELIVERY_ITEMS.steps,
  DELIVERY_ITEMS.packaging,
  DELIVERY_ITEMS.receipt,
  'customer-words',
]);

/**
 * Writes the claim file that the assessment reads. The receipt on the visit wins over what the crew ticked; what a person supplied later
 * wins over both. What nobody said is `not known`, null or left out; a delivery without any receipt on record counts as `no signature`.
 */
export function composeClaimFile(facts: GatheredFacts): ClaimFile {
  const answers = facts.inspection?.answers ?? [];
  const one = (item: string): string | undefined => {
    const value = answers.find((answer) => answer.item === item)?.value;
    return typeof value === 'string'
      ? value
      : Array.isArray(value) && value.length === 1
        ? String(value[0])
        : undefined;
  };
  const words = facts.supplied.receiptWords ?? facts.visit.receiptWords;
  const delivered = facts.supplied.deliveredAt ?? facts.visit.deliveredAt;
  const noticeToCarrier = facts.supplied.noticeToCarrierAt ?? facts.opening.noticeToCarrierAt;
  return {
    format: 'claim/1',
    title: facts.number ?? 'draft claim',
    jurisdiction: facts.visit.jurisdiction,
    zone: facts.visit.zone,
    ground: facts.opening.ground,
    ...(facts.opening.returnReason === null ? {} : { returnReason: facts.opening.returnReason }),
    documents: facts.documents,
    parties: { retailer: facts.visit.retailer, carrier: facts.visit.carrier, maker: facts.unit.maker },
    order: facts.visit.order,
    unit: { sku: facts.unit.sku, serial: facts.unit.serial, opened: wasOpened(facts.inspection) },
    delivery: {
      receipt:
        facts.supplied.receipt ?? facts.visit.receipt ?? receiptTicked(one(DELIVERY_ITEMS.receipt)) ?? 'no signature',
      ...(words === null ? {} : { receiptWords: words }),
      foundAt: facts.inspection?.foundAt ?? 'use',
      packaging: facts.supplied.packaging ?? packagingTicked(one(DELIVERY_ITEMS.packaging)),
      impactIndicator: indicatorTicked(one(DELIVERY_ITEMS.impact)),
      tiltIndicator: indicatorTicked(one(DELIVERY_ITEMS.tilt)),
      custody: facts.visit.custody,
    },
    events: {
      ...(delivered === null ? {} : { delivered }),
      noticed: facts.opening.noticedAt,
      ...(noticeToCarrier === null ? {} : { 'notice to carrier': noticeToCarrier }),
      ...facts.happened,
    },
    ...(facts.statusLetters?.length ? { statusLetters: facts.statusLetters } : {}),
    ...carrierSide(facts.supplied),
    inspection: {
      startedAt: facts.inspection?.startedAt ?? facts.opening.noticedAt,
      crewSize: facts.inspection?.crewSize ?? 1,
      answers,
    },
    photos: facts.photos,
    stepsFollowed: facts.supplied.stepsFollowed ?? stepsTicked(one(DELIVERY_ITEMS.steps)),
    failedRepairs: facts.supplied.failedRepairs ?? facts.opening.failedRepairs,
    ...(facts.opening.wish === null ? {} : { wish: facts.opening.wish }),
    asOf: facts.asOf,
  };
}

/** Whether the unit was out of its carton: found at assembly or in use, or looked at beyond what a closed carton shows. */
function wasOpened(inspection: GatheredFacts['inspection']): boolean {
  if (inspection === null) return false;
  if (inspection.foundAt !== 'unboxing') return true;
  return inspection.answers.some(({ item, value }) => value !== null && !CLOSED_CARTON_ITEMS.has(item));
}

/** How the carrier was told and what it has shown, as far as somebody said so. */
function carrierSide(supplied: SuppliedFacts): Pick<ClaimFile, 'carrierNotice' | 'rebuttal'> {
  const { noticeInWriting, inspectionRequested, complaintBy, carrierFreeOfNegligence, exceptedCause } = supplied;
  const carrierNotice = {
    ...(noticeInWriting === undefined ? {} : { written: noticeInWriting }),
    ...(inspectionRequested === undefined ? {} : { inspectionRequested }),
    ...(complaintBy === undefined ? {} : { by: complaintBy }),
  };
  const rebuttal = {
    ...(carrierFreeOfNegligence === undefined ? {} : { freeOfNegligence: carrierFreeOfNegligence }),
    ...(exceptedCause === undefined ? {} : { exceptedCause }),
  };
  return {
    ...(Object.keys(carrierNotice).length > 0 ? { carrierNotice } : {}),
    ...(Object.keys(rebuttal).length > 0 ? { rebuttal } : {}),
  };
}

function receiptTicked(value: string | undefined): Receipt | undefined {
  switch (value) {
    case 'clean':
      return 'clean';
    case 'exceptions-noted':
      return 'exceptions noted';
    case 'refused':
      return 'refused';
    case 'no-signature':
      return 'no signature';
    default:
      return undefined;
  }
}

function packagingTicked(value: string | undefined): Delivery['packaging'] {
  return value === 'yes' ? 'kept' : value === 'no' ? 'thrown away' : 'not known';
}

function indicatorTicked(value: string | undefined): Indicator {
  switch (value) {
    case 'intact':
    case 'tripped':
    case 'missing':
      return value;
    case 'not-fitted':
      return 'not fitted';
    default:
      return 'not known';
  }
}

function stepsTicked(value: string | undefined): boolean | null {
  return value === 'yes' ? true : value === 'no' ? false : null;
}
