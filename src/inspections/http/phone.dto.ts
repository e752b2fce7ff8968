import { CLAIM_STATES } from '../../kernel/vocabulary.js';
import {
  DocumentField,
  InstantField,
  ListField,
  NestedField,
  OneOfField,
  TextField,
  UuidField,
  ValueField,
  WholeField,
  YesNoField,
} from '../../platform/http/fields.js';
import { PHONE_FACT_KINDS } from '../phone-facts.contract.js';

const MOST_COUNTED = 1_000_000;

/** Which phones are listed. */
export class PhonesQuery {
  @OneOfField(['owing', 'lost'], { optional: true, description: 'Absent: `owing`.' })
  state?: 'owing' | 'lost';
}

/** A claim of the visit. */
export class PhoneClaimView {
  @UuidField()
  id: string;

  @TextField({ max: 9, optional: true })
  number?: string;

  @OneOfField(CLAIM_STATES)
  state: string;
}

/** Who said that a phone is lost. */
export class PhoneLossView {
  @InstantField()
  at: string;

  @TextField({ max: 200 })
  by: string;

  @TextField({ max: 2000 })
  because: string;
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

  @InstantField({ description: 'Since when it owes: its oldest photo that has not come, or when it was last heard.' })
  since: string;

  @WholeField({
    min: -400_000_000,
    max: 400_000_000,
    description:
      'By how much its clock ran ahead when it last sent. Beyond ten minutes its times were moved by as much.',
  })
  clockAheadSeconds: number;

  @InstantField()
  lastHeardAt: string;

  @NestedField(() => PhoneLossView, {
    optional: true,
    description: 'Somebody said that it is lost, and it has not been heard since.',
  })
  lost?: PhoneLossView;

  @ListField(() => PhoneClaimView, { max: 100, description: 'Claims of the visit.' })
  claims: readonly PhoneClaimView[];
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

  @OneOfField(PHONE_FACT_KINDS)
  kind: string;

  @TextField({ max: 1000 })
  problem: string;

  @UuidField({ optional: true })
  inspection?: string;

  @InstantField({ description: 'By the clock of the phone.' })
  at: string;

  @DocumentField({ description: 'What the phone said.' })
  body: Record<string, unknown>;
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
  @UuidField({ description: 'The fact that says it.' })
  fact: string;

  @UuidField()
  phone: string;

  @TextField({ max: 200, description: 'Who sent from it last.' })
  crew: string;

  @UuidField()
  inspection: string;

  @ValueField([{}], { description: 'As in the checklist; null is "could not check".' })
  value: unknown;

  @TextField({ max: 2000, optional: true })
  note?: string;

  @InstantField({ description: 'By our clock.' })
  at: string;

  @InstantField({
    optional: true,
    description: 'By the clock of the phone, where it was off by more than ten minutes.',
  })
  saidAt?: string;
}

/** What a person said counts. */
export class SettledAnswerView {
  @ValueField([{}], { description: 'As in the checklist; null is "could not check".' })
  value: unknown;

  @TextField({ max: 2000 })
  words: string;

  @InstantField()
  at: string;

  @TextField({ max: 200 })
  by: string;
}

/** A check of a unit on which two phones do not agree. */
export class DisagreementView {
  @UuidField({ description: 'The inspection that said something first.' })
  inspection: string;

  @UuidField()
  unit: string;

  @TextField({ max: 64 })
  serial: string;

  @TextField({ max: 100 })
  item: string;

  @ListField(() => PhoneAnswerView, { max: 50 })
  answers: readonly PhoneAnswerView[];

  @NestedField(() => SettledAnswerView, { optional: true })
  settled?: SettledAnswerView;

  @YesNoField({ description: 'Nobody has settled it as it stands.' })
  open: boolean;
}

/** The phones of a visit. */
export class PhonesOfVisitView {
  @ListField(() => PhoneView, { max: 100 })
  phones: readonly PhoneView[];

  @ListField(() => DisagreementView, { max: 500 })
  disagreements: readonly DisagreementView[];
}
