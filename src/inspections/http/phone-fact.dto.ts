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
