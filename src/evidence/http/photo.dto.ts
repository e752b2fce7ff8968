import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { InstantField, TextField } from '../../platform/http/fields.js';
import { PHOTO_MEDIA_TYPES } from '../evidence.contract.js';

/** Where a photo belongs, in the address because the body is the photo itself. */
export class PhotoPlaceQuery {
  @TextField({ min: 1, max: 100, description: 'Checklist item that the photo belongs to.', example: 'carton-front' })
  item: string;

  @TextField({
    min: 1,
    max: 100,
    description: 'The photo demand of the item that it answers, or "extra".',
    example: 'wide',
  })
  shows: string;

  @TextField({
    optional: true,
    min: 1,
    max: 200,
    description: 'Name of the file on the device. Kept for people to read.',
  })
  fileName?: string;

  @InstantField({ optional: true, description: 'When the device says that the photo was taken, with its offset.' })
  takenAt?: string;
}

/** Words for people, by language. */
class PhotoWordsDto {
  @ApiProperty()
  en: string;

  @ApiPropertyOptional()
  es?: string;
}

/** One piece of advice about the quality of a photo. No photo is refused for it. */
export class PhotoAdviceDto {
  @ApiProperty({ example: 'blurred' })
  flag: string;

  @ApiProperty({ type: PhotoWordsDto })
  says: PhotoWordsDto;

  @ApiProperty()
  measured: number;

  @ApiProperty()
  threshold: number;

  @ApiPropertyOptional({ description: 'What was measured.', example: 'reblur' })
  measure?: string;
}

/** How the codes on a photo compare with the unit that the inspection is about. */
export class PhotoLabelCheckDto {
  @ApiProperty({ enum: ['match', 'differs', 'none'] })
  outcome: string;

  @ApiProperty({ description: 'Serial number of the unit that the inspection is about.' })
  expected: string;

  @ApiPropertyOptional({ description: 'The number that was read.' })
  read?: string;

  @ApiProperty({ type: PhotoWordsDto })
  says: PhotoWordsDto;
}

/** What the sender of a photo is told, now and whenever it is sent again. */
export class PhotoReceiptDto {
  @ApiProperty({ format: 'uuid', description: 'The id that counts.' })
  id: string;

  @ApiProperty()
  item: string;

  @ApiProperty()
  shows: string;

  @ApiProperty({ pattern: '^[0-9a-f]{64}$', description: 'SHA-256 of the bytes that are kept.' })
  sha256: string;

  @ApiProperty({ type: 'integer' })
  bytes: number;

  @ApiProperty({ format: 'date-time' })
  receivedAt: string;

  @ApiPropertyOptional({
    format: 'uuid',
    description: 'The same bytes came before, under this id; the id that was sent is not used.',
  })
  sameAs?: string;

  @ApiPropertyOptional({ format: 'date-time', description: 'It was withdrawn and does not count.' })
  withdrawnAt?: string;

  @ApiProperty({ enum: ['pending', 'read', 'failed'], description: 'Whether it has been looked at yet.' })
  state: string;

  @ApiPropertyOptional({ description: 'Why it cannot be shown, and what to do.' })
  failure?: string;

  @ApiPropertyOptional({ type: [PhotoAdviceDto], description: 'For the crew, once the photo has been looked at.' })
  advice?: PhotoAdviceDto[];

  @ApiPropertyOptional({
    type: PhotoLabelCheckDto,
    description: 'What the label on it says, where it should or does show one.',
  })
  label?: PhotoLabelCheckDto;
}

export class PhotoReceiptsDto {
  @ApiProperty({ type: [PhotoReceiptDto] })
  photos: PhotoReceiptDto[];
}

export class SenderDto {
  @ApiProperty({ enum: ['person', 'link', 'key', 'service'] })
  kind: string;

  @ApiProperty()
  id: string;

  @ApiProperty()
  name: string;
}

export class RenditionDto {
  @ApiProperty({ type: 'integer', enum: [256, 1024, 2048] })
  size: number;

  @ApiProperty({ type: 'integer' })
  width: number;

  @ApiProperty({ type: 'integer' })
  height: number;

  @ApiProperty({ type: 'integer' })
  bytes: number;

  @ApiProperty({ example: '/v1/photos/9f6a2d0e-4c0b-4c7e-8a57-3d2f1b0c9e11/renditions/1024' })
  address: string;
}

export class ExhibitDto {
  @ApiProperty({ format: 'uuid' })
  id: string;

  @ApiProperty({ format: 'uuid' })
  inspectionId: string;

  @ApiProperty({ format: 'uuid' })
  visitId: string;

  @ApiProperty()
  item: string;

  @ApiProperty()
  shows: string;

  @ApiProperty({ pattern: '^[0-9a-f]{64}$' })
  sha256: string;

  @ApiProperty({ type: 'integer' })
  bytes: number;

  @ApiProperty({ enum: PHOTO_MEDIA_TYPES })
  mediaType: string;

  @ApiPropertyOptional()
  fileName?: string;

  @ApiProperty({ format: 'date-time' })
  receivedAt: string;

  @ApiProperty({ type: SenderDto })
  receivedBy: SenderDto;

  @ApiProperty({ enum: ['pending', 'read', 'failed'] })
  state: string;

  @ApiPropertyOptional({ description: 'Why there are no pictures, and what to do.' })
  failure?: string;

  @ApiPropertyOptional({
    type: 'object',
    additionalProperties: true,
    description:
      'Size, capture time, camera, quality with advice, and doubts. `position` is there for analysts only. See docs/photos.md.',
  })
  reading?: object;

  @ApiProperty({ type: [RenditionDto] })
  renditions: RenditionDto[];

  @ApiPropertyOptional({ format: 'date-time' })
  withdrawnAt?: string;
}

export class ExhibitPageDto {
  @ApiProperty({ type: [ExhibitDto] })
  items: ExhibitDto[];

  @ApiPropertyOptional({ description: 'Cursor of the next page; absent on the last.' })
  next?: string;
}
