import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { IsIn, IsOptional } from 'class-validator';
import {
  DateField,
  InstantField,
  ListField,
  OneOfField,
  TextField,
  UuidField,
  WholeField,
} from '../../platform/http/fields.js';
import { PageQuery } from '../../platform/http/pages.js';
import {
  CHANGE_KINDS,
  CHANGE_ORDERS,
  REHEARSAL_STATES,
  type ChangeKind,
  type ChangeOrder,
} from '../rehearsals.contract.js';

/** Which past claims to go through, and against what. */
export class RehearsalBody {
  @InstantField({ optional: true, description: 'Claims judged from this instant on. Absent: from the first.' })
  from?: string;

  @InstantField({ optional: true, description: 'Claims judged before this instant. Absent: up to now.' })
  to?: string;

  @WholeField({ min: 1, max: 10_000_000, optional: true, description: 'About so many claims. Absent: all of them.' })
  sample?: number;

  @WholeField({
    min: 1,
    max: 999_999_999,
    optional: true,
    description: 'Version to compare with. Absent: what was said of each claim at the time.',
  })
  against?: number;

  @DateField({ optional: true, description: 'Dated parameters as of this day. Absent: of the day of each claim.' })
  on?: string;
}

/** A rehearsal, how far it is, and what it found once it has finished. */
export class RehearsalView {
  @UuidField()
  id: string;

  @TextField({ max: 60 })
  code: string;

  @WholeField({ min: 1, max: 2_147_483_647 })
  version: number;

  @TextField({ min: 64, max: 64, description: 'Hash of the content that is rehearsed.' })
  hash: string;

  @OneOfField(REHEARSAL_STATES)
  state: string;

  @ApiProperty({ type: RehearsalBody })
  wish: RehearsalBody;

  @ApiProperty({ type: 'integer', required: false, description: 'With a sample: of how many claims one is looked at.' })
  oneIn?: number;

  @ApiProperty({
    type: 'integer',
    required: false,
    description: 'Version whose difference is counted by regions: the one asked for, else the one in force.',
  })
  comparedWith?: number;

  @ApiProperty({
    type: 'integer',
    required: false,
    description: 'Claims to go through; absent until they are counted.',
  })
  claims?: number;

  @ApiProperty({ type: 'integer', description: 'Claims gone through.' })
  done: number;

  @UuidField()
  askedBy: string;

  @InstantField()
  askedAt: string;

  @InstantField({ optional: true })
  finishedAt?: string;

  @ApiPropertyOptional({
    type: 'object',
    additionalProperties: true,
    description: 'Format rehearsal/1: what changes, by how much money, from what to what, for whom, in which regions.',
  })
  result?: object;

  @TextField({ max: 4000, optional: true, description: 'Why it failed.' })
  problem?: string;
}

/** One page of rehearsals, newest first. Results are left out. */
export class RehearsalPage {
  @ListField(() => RehearsalView, { max: 200 })
  items: RehearsalView[];

  @TextField({ max: 1000, optional: true, description: 'Cursor of the next page; absent on the last.' })
  next?: string;
}

/** Which changes to list. */
export class ChangesQuery extends PageQuery {
  @ApiPropertyOptional({ enum: CHANGE_KINDS, description: 'Only claims that change in this way.' })
  @IsOptional()
  @IsIn(CHANGE_KINDS)
  kind?: ChangeKind;

  @ApiPropertyOptional({
    enum: CHANGE_ORDERS,
    description:
      'Absent: money, those first whose customer gets most more or less. A cursor goes on in the order it came from.',
  })
  @IsOptional()
  @IsIn(CHANGE_ORDERS)
  order?: ChangeOrder;
}

/** As what the changed claims are wanted. */
export class ChangesExportQuery {
  @OneOfField(['csv', 'json'], { optional: true, description: 'Absent: csv.' })
  format?: 'csv' | 'json';
}

/** A claim that comes out otherwise. */
export class RehearsalChangeView {
  @UuidField({ description: 'Record of the decision that was judged again.' })
  record: string;

  @UuidField()
  claim: string;

  @ApiProperty({ type: 'string', nullable: true, description: 'Number of the claim.' })
  number: string | null;

  @ApiProperty({ type: 'array', items: { type: 'string', enum: [...CHANGE_KINDS] } })
  kinds: readonly string[];

  @TextField({ min: 3, max: 3 })
  currency: string;

  @ApiProperty({ type: 'object', additionalProperties: true, description: 'Retailer, carrier and maker by name.' })
  parties: object;

  @ApiProperty({
    type: 'object',
    additionalProperties: true,
    description: 'Remedies, who answers, money in minor units, demands, hold, verdict, ends of clocks.',
  })
  was: object;

  @ApiProperty({
    type: 'object',
    additionalProperties: true,
    nullable: true,
    description: 'The same under the version; null where it cannot be applied.',
  })
  becomes: object | null;

  @TextField({ max: 4000, optional: true, description: 'Why the version cannot be applied.' })
  problem?: string;
}

/** One page of changes, those first whose customer gets most more or less. */
export class RehearsalChangePage {
  @ListField(() => RehearsalChangeView, { max: 200 })
  items: RehearsalChangeView[];

  @TextField({ max: 1000, optional: true, description: 'Cursor of the next page; absent on the last.' })
  next?: string;
}
