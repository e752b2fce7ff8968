import { CLOCK_STARTS } from '../../kernel/clock-starts.js';
import { bad, good, type Fault, type Outcome } from '../../kernel/outcome.js';
import { GROUNDS, PARTIES, RECEIPTS, REMEDIES, STAGES } from '../../kernel/vocabulary.js';
import type { Answer, AnswerValue } from '../../inspections/inspections.contract.js';
import type { ClockStart } from '../../policies/policies.contract.js';
import type {
  CarrierNotice,
  ClaimFile,
  ClaimPhoto,
  CustodyStage,
  Delivery,
  OrderLine,
  Rebuttal,
} from '../adjudication.contract.js';
import { claimFileFaults } from './claim-consistency.js';
import { EXCEPTED_CAUSES } from './elements.js';
import {
  byName,
  flag,
  list,
  may,
  must,
  object,
  oneOf,
  orNull,
  refuse,
  text,
  whole,
  type Read,
} from './json-reading.js';
import { readModel, tradeCode } from './read-model.js';
import { transport } from './transport.js';
import {
  besideFile,
  code,
  currency,
  date,
  documentRef,
  instant,
  jurisdiction,
  MOST_MINOR,
  sha256,
  zone,
} from './read-values.js';

/** Limits of one claim file. */
export const CLAIM_LIMITS = { answers: 500, photos: 200, custody: 50, statusLetters: 60, bytes: 1_048_576 } as const;

const INDICATORS = ['intact', 'tripped', 'missing', 'not fitted', 'not known'] as const;

const pieces = byName(whole(0, 1_000_000), 500);
const choices = list(text({ most: 80 }), 100);

const answerValue: Read<AnswerValue> = (value, at, faults) => {
  if (value === null) return null;
  if (Array.isArray(value)) return choices(value, at, faults);
  switch (typeof value) {
    case 'string':
      return text({ least: 0, most: 4_000 })(value, at, faults);
    case 'number':
      return Number.isFinite(value) ? value : refuse(faults, at, 'must be a finite number');
    case 'object':
      return pieces(value, at, faults);
    default:
      return refuse(faults, at, 'must be text, a number, a list of choices, pieces by part number, or null');
  }
};

const order = object<OrderLine>({
  reference: must(text({ most: 64 })),
  placedOn: must(date),
  currency: must(currency),
  // A price of nothing leaves no amount to give back or to split, so it is a mistake and not a gift.
  priceMinor: must(whole(1, MOST_MINOR)),
  taxMinor: must(whole(0, MOST_MINOR)),
  deliveryMinor: must(whole(0, MOST_MINOR)),
});

const delivery = object<Delivery>({
  receipt: must(oneOf(RECEIPTS)),
  receiptWords: may(text({ most: 1_000 })),
  foundAt: must(oneOf(['unboxing', 'assembly', 'use'])),
  packaging: must(oneOf(['kept', 'thrown away', 'not known'])),
  impactIndicator: must(oneOf(INDICATORS)),
  tiltIndicator: must(oneOf(INDICATORS)),
  custody: must(
    list(
      object<CustodyStage>({
        stage: must(oneOf(STAGES)),
        party: must(oneOf(PARTIES)),
        condition: must(oneOf(['clean', 'exceptions', 'not known'])),
        at: may(instant),
      }),
      CLAIM_LIMITS.custody,
    ),
  ),
});

const carrierNotice = object<CarrierNotice>({
  written: may(flag),
  inspectionRequested: may(flag),
  by: may(oneOf(['recipient', 'sender'])),
});

const rebuttal = object<Rebuttal>({ freeOfNegligence: may(flag), exceptedCause: may(oneOf(EXCEPTED_CAUSES)) });

const claimFile: Read<ClaimFile> = object<ClaimFile>({
  format: must(oneOf(['claim/1'])),
  title: must(text()),
  jurisdiction: must(jurisdiction),
  zone: must(zone),
  ground: must(oneOf(GROUNDS)),
  returnReason: may(oneOf(['change of mind', 'wrong item'])),
  documents: must(
    object<ClaimFile['documents']>({
      checklist: must(documentRef),
      evidenceModel: must(documentRef),
      policy: must(documentRef),
    }),
  ),
  parties: must(object<ClaimFile['parties']>({ retailer: must(text()), carrier: must(text()), maker: must(text()) })),
  order: must(order),
  unit: must(object<ClaimFile['unit']>({ sku: must(tradeCode), serial: must(tradeCode), opened: must(flag) })),
  model: may(readModel),
  delivery: must(delivery),
  transport: may(transport),
  carrierNotice: may(carrierNotice),
  rebuttal: may(rebuttal),
  events: must(object<ClaimFile['events']>(eventFields())),
  statusLetters: may(list(instant, CLAIM_LIMITS.statusLetters)),
  inspection: must(
    object<ClaimFile['inspection']>({
      startedAt: must(instant),
      crewSize: must(whole(1, 20)),
      answers: must(
        list(
          object<Answer>({ item: must(code), value: must(answerValue), note: may(text({ most: 2_000 })) }),
          CLAIM_LIMITS.answers,
        ),
      ),
    }),
  ),
  photos: must(
    list(
      object<ClaimPhoto>({
        id: must(code),
        item: must(code),
        shows: must(code),
        file: must(besideFile),
        sha256: must(sha256),
      }),
      CLAIM_LIMITS.photos,
    ),
  ),
  stepsFollowed: must(orNull(flag)),
  failedRepairs: must(whole(0, 1_000)),
  wish: may(oneOf(REMEDIES)),
  asOf: must(instant),
});

/**
 * Reads a claim file that has been parsed from JSON. Every fault is named at once, with a JSON pointer; unknown fields are refused.
 * Only the file itself is judged here: what the model, checklist and policy say about it is judged by `assess`.
 */
export function readClaimFile(json: unknown): Outcome<ClaimFile> {
  const faults: Fault[] = [];
  const claim = claimFile(json, '#', faults);
  if (claim === undefined || faults.length > 0) return bad(...faults);
  const inconsistent = claimFileFaults(claim);
  return inconsistent.length > 0 ? bad(...inconsistent) : good(claim);
}

function eventFields(): { readonly [K in ClockStart]: { readonly read: Read<string>; readonly optional: boolean } } {
  return Object.fromEntries(CLOCK_STARTS.map((name) => [name, may(instant)])) as ReturnType<typeof eventFields>;
}
