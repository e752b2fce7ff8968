import { ApiPropertyOptional } from '@nestjs/swagger';
import { IsOptional, IsString, MaxLength } from 'class-validator';
import { InstantField, ListField, TextField, UuidField } from '../../platform/http/fields.js';
import { PageQuery } from '../../platform/http/pages.js';

/** Which units. */
export class UnitListQuery extends PageQuery {
  @ApiPropertyOptional({ maxLength: 60, description: 'Code of a model.' })
  @IsOptional()
  @IsString()
  @MaxLength(60)
  sku?: string;

  @ApiPropertyOptional({ maxLength: 64, description: 'Part of a serial number or order reference.' })
  @IsOptional()
  @IsString()
  @MaxLength(64)
  find?: string;
}

/** One unit and the visit that brings it. */
export class UnitSummary {
  @UuidField()
  id: string;

  @TextField({ max: 60 })
  sku: string;

  @TextField({ max: 64 })
  serial: string;

  @UuidField()
  visitId: string;

  @TextField({ max: 100 })
  orderReference: string;

  @TextField({ max: 200 })
  retailer: string;

  @InstantField({ description: 'Beginning of the time window of the visit.' })
  windowFrom: string;

  @InstantField({ optional: true, description: 'Absent until the receipt has been noted.' })
  deliveredAt?: string;
}

/** One page of units, the newest visit first. */
export class UnitPage {
  @ListField(() => UnitSummary, { max: 200 })
  items: UnitSummary[];

  @TextField({ max: 1000, optional: true, description: 'Cursor of the next page; absent on the last.' })
  next?: string;
}
