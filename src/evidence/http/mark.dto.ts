import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { NestedField, OneOfField, TextField } from '../../platform/http/fields.js';
import { SenderDto } from './photo.dto.js';

/** A selector of the W3C Web Annotation Data Model. */
export class MarkSelectorDto {
  @OneOfField(['FragmentSelector', 'SvgSelector'])
  type: 'FragmentSelector' | 'SvgSelector';

  @TextField({ optional: true, min: 1, max: 100, description: 'For fragments: http://www.w3.org/TR/media-frags/' })
  conformsTo?: string;

  @TextField({
    min: 1,
    max: 10_000,
    description:
      'xywh=percent:x,y,w,h of the upright photo, or an SVG with one polygon whose viewBox "0 0 W H" stands for the whole photo.',
    example: 'xywh=percent:25,25,50,50',
  })
  value: string;
}

export class MarkWishDto {
  @NestedField(() => MarkSelectorDto)
  selector: MarkSelectorDto;

  @TextField({ optional: true, min: 1, max: 500, description: 'What is to be seen there.' })
  says?: string;
}

class MarkTargetDto {
  @ApiProperty({ example: '/v1/photos/9f6a2d0e-4c0b-4c7e-8a57-3d2f1b0c9e11' })
  source: string;

  @ApiProperty({ type: MarkSelectorDto })
  selector: MarkSelectorDto;
}

class MarkBodyDto {
  @ApiProperty({ enum: ['TextualBody'] })
  type: string;

  @ApiProperty()
  value: string;

  @ApiProperty({ enum: ['commenting'] })
  purpose: string;
}

/** What was looked at when the mark was made. */
class MarkedPhotoDto {
  @ApiProperty({ pattern: '^[0-9a-f]{64}$', description: 'SHA-256 of the original.' })
  sha256: string;

  @ApiProperty({ type: 'integer', description: 'Width of the upright photo.' })
  width: number;

  @ApiProperty({ type: 'integer' })
  height: number;

  @ApiProperty({ description: 'How the upright photo was made.', example: 'upright/1' })
  pipeline: string;
}

/** One mark as a web annotation. */
export class MarkDto {
  @ApiProperty({ name: '@context', example: 'http://www.w3.org/ns/anno.jsonld' })
  '@context': string;

  @ApiProperty({ format: 'uuid' })
  id: string;

  @ApiProperty({ enum: ['Annotation'] })
  type: string;

  @ApiProperty({ format: 'date-time' })
  created: string;

  @ApiProperty({ type: SenderDto })
  creator: SenderDto;

  @ApiPropertyOptional({ type: MarkBodyDto })
  body?: MarkBodyDto;

  @ApiProperty({ type: MarkTargetDto })
  target: MarkTargetDto;

  @ApiProperty({
    description: 'Corners in parts of the upright photo, each [x, y] from 0 to 1.',
    type: 'array',
    items: { type: 'array', items: { type: 'number' }, minItems: 2, maxItems: 2 },
  })
  polygon: number[][];

  @ApiProperty({ type: MarkedPhotoDto })
  photo: MarkedPhotoDto;

  @ApiPropertyOptional({ format: 'date-time', description: 'It was taken back.' })
  withdrawnAt?: string;

  @ApiPropertyOptional({ type: SenderDto })
  withdrawnBy?: SenderDto;
}

export class MarkListDto {
  @ApiProperty({ type: [MarkDto] })
  items: MarkDto[];
}
