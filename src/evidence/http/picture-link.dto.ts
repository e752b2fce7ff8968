import { ApiProperty } from '@nestjs/swagger';
import { TextField } from '../../platform/http/fields.js';

/** What a signed link carries beside its path. */
export class PictureLinkQuery {
  @TextField({ min: 1, max: 12, pattern: /^\d{1,12}$/, description: 'Seconds since 1970 until which the link counts.' })
  until: string;

  @TextField({ min: 1, max: 100, description: 'Signature over the whole link.' })
  signature: string;
}

export class PictureLinkDto {
  @ApiProperty({ description: 'Path and query; the origin is that of the service.' })
  address: string;

  @ApiProperty({ format: 'date-time' })
  until: string;
}
