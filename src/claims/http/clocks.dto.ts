import {
  DateField,
  InstantField,
  ListField,
  NumberField,
  OneOfField,
  TextField,
  UuidField,
  WholeField,
} from '../../platform/http/fields.js';
import { PageQuery } from '../../platform/http/pages.js';
import { HAPPENINGS, type Happening } from '../claims.contract.js';

const OWED_BY = ['maker', 'seller', 'carrier', 'crew', 'customer', 'service'] as const;
const LAPSES = ['barred', 'burden shifts', 'breach', 'internal'] as const;

/** How far ahead the due list looks. */
export class DueQuery extends PageQuery {
  @WholeField({
    min: 0,
    max: 3660,
    optional: true,
    description: 'Days ahead. Left out: 7. What was missed is always listed.',
  })
  within?: number;

  @OneOfField(OWED_BY, { optional: true, description: 'Only clocks that this party owes.' })
  owedBy?: (typeof OWED_BY)[number];
}

/** Something that happened outside the claim's own steps. */
export class HappeningBody {
  @OneOfField(HAPPENINGS)
  what: Happening;

  @InstantField({
    optional: true,
    example: '2026-03-03T09:58:00-08:00',
    description: 'When it happened. Left out: now.',
  })
  at?: string;

  @TextField({ min: 0, max: 1000, optional: true })
  words?: string;
}

/** A clock as it stands. */
export class ClockView {
  @TextField({ max: 80, description: 'Id of the clock in the policy.' })
  clock: string;

  @WholeField({ min: 1, max: 60, description: '1, or the turn of a clock that falls due again and again.' })
  occurrence: number;

  @TextField({ max: 4000 })
  title: string;

  @TextField({ max: 4000, description: 'The rule it rests on.' })
  ground: string;

  @TextField({ max: 4000, description: 'Where the rule stands. Not legal advice.' })
  source: string;

  @OneOfField(OWED_BY)
  owedBy: string;

  @OneOfField(LAPSES)
  lapse: string;

  @TextField({ max: 500, description: 'What its end means, in words.' })
  effect: string;

  @OneOfField(['not started', 'running', 'met', 'missed', 'ended'])
  state: string;

  @InstantField({ optional: true })
  startedAt?: string;

  @InstantField({ optional: true, description: 'Since when it stands still.' })
  pausedAt?: string;

  @InstantField({ optional: true, description: 'When what stops it happened, in time or late.' })
  stoppedAt?: string;

  @DateField({ optional: true, description: 'Last local day at the place of delivery.' })
  lastDay?: string;

  @InstantField({ optional: true, description: 'The instant from which it is missed.' })
  endsAt?: string;

  @WholeField({ min: 0, max: 1000, description: 'Warnings that were raised.' })
  warnings: number;

  @InstantField({ optional: true, description: 'When its miss was raised.' })
  missedAt?: string;
}

export class ClaimClocksView {
  @ListField(() => ClockView, { max: 1000 })
  items: ClockView[];
}

/** A line of the due list. */
export class DueLineView extends ClockView {
  @UuidField()
  claimId: string;

  @TextField({ max: 9, optional: true, description: 'Number of the claim.' })
  number?: string;

  @NumberField({
    min: -100_000,
    max: 100_000,
    description: 'Days until it ends, negative once it has; counted in hours of 24.',
  })
  daysLeft: number;
}

export class DuePageView {
  @ListField(() => DueLineView, { max: 200 })
  items: DueLineView[];

  @TextField({ max: 1000, optional: true, description: 'Cursor of the next page.' })
  next?: string;
}
