import type { AnswerValue } from '../../inspections/inspections.contract.js';
import { InstantField, TextField, UuidField, ValueField, WholeField } from '../../platform/http/fields.js';

/** Why nothing more is waited for from a phone. */
export class PhoneLossBody {
  @TextField({ min: 10, max: 2000, description: 'In words; it stands in the trail of the claims of the visit.' })
  reason: string;

  @InstantField({
    description: 'When the phone had been heard last, as it was shown; refused where it was heard since.',
  })
  heardAt: string;
}

/** Which answer counts where two phones do not agree. */
export class SettledAnswerBody {
  @TextField({ max: 100, description: 'The check, by its id in the checklist.' })
  item: string;

  @ValueField([{}], { description: 'As in the checklist; null is "could not check". Need not be one that was given.' })
  value: AnswerValue;

  @TextField({ min: 10, max: 2000, description: 'Why, in words.' })
  words: string;
}

/** A phone that nothing is waited for from any more. */
export class LostPhoneView {
  @UuidField()
  phone: string;

  @UuidField()
  visit: string;

  @WholeField({ min: 0, max: 1_000_000, description: 'Photos that are gone with it.' })
  photos: number;

  @WholeField({ min: 0, max: 1_000_000, description: 'Notes that are gone with it.' })
  facts: number;

  @InstantField()
  lostAt: string;
}
