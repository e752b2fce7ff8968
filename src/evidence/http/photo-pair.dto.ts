import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { OneOfField, TextField } from '../../platform/http/fields.js';
import { FOUND_BY, REUSE_BANDS } from '../domain/reuse-bands.js';
import { SenderDto } from './photo.dto.js';

const OPINIONS = ['same thing', 'different thing'] as const;

export class PairOpinionWishDto {
  @OneOfField(OPINIONS, { description: 'What the two photos show.' })
  opinion: (typeof OPINIONS)[number];

  @TextField({ min: 1, max: 2000, description: 'What it rests on.' })
  words: string;
}

class PairOpinionDto {
  @ApiProperty({ enum: OPINIONS })
  opinion: string;

  @ApiProperty()
  words: string;

  @ApiProperty({ format: 'date-time' })
  givenAt: string;

  @ApiProperty({ type: SenderDto })
  givenBy: SenderDto;
}

class ClaimOfPhotoDto {
  @ApiProperty({ format: 'uuid' })
  id: string;

  @ApiProperty()
  number: string;
}

class PhotoOfPairDto {
  @ApiProperty({ format: 'uuid' })
  id: string;

  @ApiProperty({ format: 'uuid' })
  visitId: string;

  @ApiProperty({ format: 'uuid' })
  inspectionId: string;

  @ApiProperty()
  item: string;

  @ApiProperty()
  shows: string;

  @ApiProperty({ format: 'date-time' })
  receivedAt: string;

  @ApiProperty()
  withdrawn: boolean;

  @ApiProperty({ type: [ClaimOfPhotoDto], description: 'Filed claims that rest on its inspection.' })
  claims: ClaimOfPhotoDto[];

  @ApiProperty({ example: '/v1/photos/9f6a2d0e-4c0b-4c7e-8a57-3d2f1b0c9e11/renditions/1024' })
  picture: string;
}

class PairRateDto {
  @ApiProperty({ type: 'integer', description: 'Pairs of different photos that were taken for one …' })
  flagged: number;

  @ApiProperty({ type: 'integer', description: '… of so many.' })
  of: number;

  @ApiProperty()
  among: string;
}

class PairMoveDto {
  @ApiProperty({ type: 'integer', description: 'Clockwise.' })
  degrees: number;

  @ApiProperty()
  factor: number;
}

/** Two photos of different visits that look alike. Not a verdict: a person looks at both. */
export class PhotoPairDto {
  @ApiProperty({ format: 'uuid' })
  id: string;

  @ApiProperty({ enum: REUSE_BANDS })
  band: string;

  @ApiProperty({ enum: FOUND_BY })
  foundBy: string;

  @ApiPropertyOptional({ type: 'integer', description: 'Differing bits of 256 between the fingerprints.' })
  distance?: number;

  @ApiPropertyOptional({ description: 'How one would have to be turned to be the other.', example: 'upright' })
  turn?: string;

  @ApiPropertyOptional({ type: 'integer', description: 'Details that were found in both.' })
  matches?: number;

  @ApiPropertyOptional({ type: 'integer', description: 'Those that one move, turn and change of size explains.' })
  inliers?: number;

  @ApiPropertyOptional({ type: PairMoveDto })
  move?: PairMoveDto;

  @ApiProperty({ description: 'Both carry the same camera and instant of capture.' })
  sameShot: boolean;

  @ApiPropertyOptional({ type: PairRateDto, description: 'How often this way of finding is wrong, as measured.' })
  rate?: PairRateDto;

  @ApiProperty({ format: 'date-time' })
  foundAt: string;

  @ApiProperty({ type: PhotoOfPairDto })
  later: PhotoOfPairDto;

  @ApiProperty({ type: PhotoOfPairDto })
  earlier: PhotoOfPairDto;

  @ApiProperty({ type: [PairOpinionDto], description: 'Oldest first; none is ever changed.' })
  opinions: PairOpinionDto[];
}

class PhotoComparisonDto {
  @ApiProperty({ format: 'date-time' })
  comparedAt: string;

  @ApiProperty({ type: 'integer', description: 'Fingerprints that it was compared with.' })
  fingerprints: number;

  @ApiProperty({ type: 'integer', description: 'Photos that it was compared with detail by detail.' })
  closely: number;

  @ApiProperty({ type: 'integer', description: 'Photos beyond the limit.' })
  leftOff: number;

  @ApiProperty({ type: 'integer', description: 'Photos that have no details to compare.' })
  untested: number;

  @ApiPropertyOptional({ description: 'Why it could be compared only in part.' })
  says?: string;
}

export class PhotoPairListDto {
  @ApiPropertyOptional({ type: PhotoComparisonDto, description: 'Absent while the photo waits to be compared.' })
  comparison?: PhotoComparisonDto;

  @ApiProperty({ type: [PhotoPairDto] })
  items: PhotoPairDto[];
}
