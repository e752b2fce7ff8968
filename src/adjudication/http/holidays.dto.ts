import { DateField, ListField, OneOfField, TextField, WholeField, YesNoField } from '../../platform/http/fields.js';

/** What a house says about a day. */
export class HolidayBody {
  @YesNoField({ description: 'True for a public holiday, false for a business day.' })
  holiday: boolean;

  @TextField({ min: 3, max: 500, description: 'Why the tables are not right for you.' })
  reason: string;
}

/** Why a house lists a year by itself. */
export class HolidayYearBody {
  @TextField({ min: 3, max: 500 })
  reason: string;
}

export class HolidayYearQuery {
  @WholeField({ min: 1900, max: 2199 })
  year: number;
}

/** A holiday, or a day that the house made a business day. */
export class HolidayView {
  @DateField()
  on: string;

  @YesNoField()
  holiday: boolean;

  @OneOfField(['table', 'house'])
  from: 'table' | 'house';

  @TextField({ max: 500, optional: true })
  reason?: string;

  @TextField({ max: 200, optional: true, description: 'Who said so.' })
  setBy?: string;
}

/** A place's holidays in a year. */
export class HolidayYearView {
  @TextField({ max: 6, example: 'US-CA' })
  place: string;

  @WholeField({ min: 1900, max: 2199 })
  year: number;

  @YesNoField({ description: 'False where nobody knows the year: clocks in business days then have no end.' })
  known: boolean;

  @ListField(() => HolidayView, { max: 366 })
  days: HolidayView[];
}
