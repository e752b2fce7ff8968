import { ApiProperty } from '@nestjs/swagger';
import type { SubjectStudy } from '../study.contract.js';

/** Two explanations of a subject, and how well all signs together tell them apart. */
export class PairView {
  @ApiProperty({ description: 'Id of an explanation.' })
  one: string;

  @ApiProperty({ description: 'Id of the other.' })
  other: string;

  @ApiProperty({
    description: 'Weight of evidence to be expected of all signs, in decibans; the lesser of both directions.',
  })
  decibans: number;

  @ApiProperty({ description: 'Id of the observation that does most of it.' })
  bestSign: string;
}

/** What a sign is worth as the first check. */
export class SignView {
  @ApiProperty()
  observation: string;

  @ApiProperty()
  says: string;

  @ApiProperty({ description: 'Id of the item of the checklist that yields it.' })
  item: string;

  @ApiProperty({ required: false })
  group?: string;

  @ApiProperty({ minimum: 0, description: 'Bits of doubt that it takes away on average, before anything is known.' })
  expectedBits: number;

  @ApiProperty({ minimum: 1 })
  effortSeconds: number;

  @ApiProperty({ minimum: 0 })
  bitsPerSecond: number;

  @ApiProperty({ minimum: 0, description: 'The greatest weight for or against any explanation, in decibans.' })
  mostDecibans: number;
}

/** One subject of a model without a claim. */
export class SubjectStudyView {
  @ApiProperty()
  subject: string;

  @ApiProperty({ minimum: 0, description: 'Doubt before anything is seen, in bits.' })
  entropyBits: number;

  @ApiProperty({ type: () => PairView, isArray: true, description: 'The hardest to tell apart first.' })
  pairs: PairView[];

  @ApiProperty({ type: () => SignView, isArray: true, description: 'The most worth its time first.' })
  signs: SignView[];
}

/** What can be said of a version without a claim. */
export class ModelStudy {
  @ApiProperty({ enum: ['evidence-study/1'] })
  format: string;

  @ApiProperty({ type: () => SubjectStudyView, isArray: true })
  subjects: SubjectStudyView[];
}

/** Studies as the interface sends them. */
export function toStudyViews(studies: readonly SubjectStudy[]): SubjectStudyView[] {
  return studies.map(({ pairs, signs, ...rest }) => ({ ...rest, pairs: [...pairs], signs: [...signs] }));
}
