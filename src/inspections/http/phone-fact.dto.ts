import {
  DocumentField,
  InstantField,
  ListField,
  OneOfField,
  TextField,
  UuidField,
  ValueField,
  WholeField,
} from '../../platform/http/fields.js';
import { MOST_FACTS, PHONE_FACT_KINDS, type PhoneFactKind } from '../phone-facts.contract.js';

const MOST_COUNTED = 1_000_000;

/** One fact as the phone wrote it down. */
export class PhoneFactBody {
  @UuidField({ description: 'Made on the phone before it was saved there.' })
  id: string;

  @WholeField({ min: 1, max: MOST_COUNTED, description: 'The phone counts 1, 2, 3 … at each visit.' })
  n: number;

  @OneOfField(PHONE_FACT_KINDS)
  kind: PhoneFactKind;

  @UuidField({ optional: true, description: 'Absent for what concerns the whole visit.' })
  inspection?: string;

  @InstantField({ description: 'By the clock of the phone.' })
  at: string;

  @DocumentField({ description: 'What happened. See docs/api/phones.md for the fields of each kind.' })
  body: Record<string, unknown>;
}

/** What a phone brings in one request. */
export class PhoneBatchBody {
  @UuidField({ description: 'Made when the phone was first used, the same at every visit.' })
  phone: string;

  @InstantField({ description: 'Now, by the clock of the phone: how far it is off is worked out from this.' })
  sentAt: string;

  @WholeField({ min: 0, max: MOST_COUNTED, description: 'The highest number given out at this visit, sent or not.' })
  countedTo: number;

  @ListField(() => PhoneFactBody, { max: MOST_FACTS })
  facts: PhoneFactBody[];
}

/** What the phone is told of one fact, now and whenever it asks again. */
export class PhoneFactReceiptView {
  @UuidField()
  id: string;

  @TextField({
    max: 64,
    description: 'SHA-256 of the canonical JSON (RFC 8785) of the fact that is kept under this id.',
  })
  sha256: string;

  @OneOfField(['waiting', 'taken', 'refused'])
  state: string;

  @TextField({ max: 1000, optional: true, description: 'Why it was kept but could not be done.' })
  problem?: string;
}

/** Receipts for what came; a fact without one has not been kept. */
export class PhoneBatchView {
  @ListField(() => PhoneFactReceiptView, { max: MOST_FACTS })
  receipts: readonly PhoneFactReceiptView[];

  @ValueField([{ type: 'array', items: { type: 'integer' }, maxItems: 100 }], {
    description: 'Numbers that were given out and never came.',
  })
  missing: readonly number[];
}

/** A phone and how much it still owes. */
export class OwingPhoneView {
  @UuidField()
  phone: string;

  @UuidField()
  visit: string;

  @TextField({ max: 100, description: 'Order number of the visit.' })
  order: string;

  @TextField({ max: 200, description: 'Who sent from it last.' })
  crew: string;

  @WholeField({ min: 0, max: MOST_COUNTED })
  countedTo: number;

  @WholeField({ min: 0, max: MOST_COUNTED })
  factsOwed: number;

  @WholeField({ min: 0, max: MOST_COUNTED })
  photosOwed: number;

  @WholeField({
    min: -400_000_000,
    max: 400_000_000,
    description:
      'By how much its clock ran ahead when it last sent. Beyond ten minutes its times were moved by as much.',
  })
  clockAheadSeconds: number;

  @InstantField()
  lastHeardAt: string;
}

/** The phones that owe something, the one that has been silent longest first. */
export class OwingPhoneList {
  @ListField(() => OwingPhoneView, { max: 200 })
  items: readonly OwingPhoneView[];
}

/** A photo that a phone says it holds and that has not come. */
export class PhotoOnPhoneView {
  @UuidField()
  photo: string;

  @TextField({ max: 100 })
  item: string;

  @TextField({ max: 100 })
  shows: string;

  @InstantField()
  takenAt: string;
}

/** A fact that was kept but could not be done. */
export class RefusedFactView {
  @UuidField()
  id: string;

  @TextField({ max: 20 })
  kind: string;

  @TextField({ max: 1000 })
  problem: string;
}

/** A phone of a visit, with what exactly is missing. */
export class PhoneView extends OwingPhoneView {
  @ValueField([{ type: 'array', items: { type: 'integer' }, maxItems: 100 }], {
    description: 'Numbers that were given out and never came.',
  })
  missing: readonly number[];

  @ListField(() => PhotoOnPhoneView, { max: 200 })
  photos: readonly PhotoOnPhoneView[];

  @ListField(() => RefusedFactView, { max: 200 })
  refused: readonly RefusedFactView[];
}

/** What one phone answered. */
export class PhoneAnswerView {
  @UuidField()
  phone: string;

  @ValueField([{}], { description: 'As in the checklist; null is "could not check".' })
  value: unknown;
}

/** A check on which two phones do not agree. */
export class DisagreementView {
  @UuidField()
  inspection: string;

  @TextField({ max: 100 })
  item: string;

  @ListField(() => PhoneAnswerView, { max: 50 })
  answers: readonly PhoneAnswerView[];
}

/** The phones of a visit. */
export class PhonesOfVisitView {
  @ListField(() => PhoneView, { max: 100 })
  phones: readonly PhoneView[];

  @ListField(() => DisagreementView, { max: 500 })
  disagreements: readonly DisagreementView[];
}
