import { ApiProperty } from '@nestjs/swagger';
import { COMPONENTS, ORIGINS } from '../../kernel/vocabulary.js';

/** A sentence in the languages that there are. */
export class Sentence {
  @ApiProperty()
  en: string;

  @ApiProperty({ required: false })
  es?: string;
}

/** One candidate account of the damage. */
export class ExplanationView {
  @ApiProperty()
  id: string;

  @ApiProperty({ enum: COMPONENTS })
  component: string;

  @ApiProperty()
  fault: string;

  @ApiProperty({ enum: ORIGINS })
  origin: string;

  @ApiProperty({ enum: ['cosmetic', 'functional', 'unsafe', 'none'] })
  severity: string;

  @ApiProperty({ minimum: 0, maximum: 1 })
  probability: number;
}

/** How likely it is that a component is the one. */
export class ComponentShare {
  @ApiProperty({ enum: COMPONENTS })
  component: string;

  @ApiProperty({ minimum: 0, maximum: 1 })
  probability: number;
}

/** How likely it is that the damage comes from there. */
export class OriginShare {
  @ApiProperty({ enum: ORIGINS })
  origin: string;

  @ApiProperty({ minimum: 0, maximum: 1 })
  probability: number;
}

/** One thing seen, and how far it pulled. */
export class WeighedView {
  @ApiProperty()
  observation: string;

  @ApiProperty()
  says: string;

  @ApiProperty({ enum: ['present', 'absent'] })
  sighting: string;

  @ApiProperty({ description: 'Weight of evidence for the leading explanation, 10·log10 of the odds ratio.' })
  decibans: number;

  @ApiProperty({ description: 'False where a stronger observation of the same group speaks for it.' })
  counted: boolean;
}

/** The ranked explanations for one damaged thing. */
export class FindingView {
  @ApiProperty()
  subject: string;

  @ApiProperty({ type: Sentence })
  title: Sentence;

  @ApiProperty({ type: [ExplanationView], description: 'Most likely first.' })
  explanations: readonly ExplanationView[];

  @ApiProperty({ type: [ComponentShare] })
  components: readonly ComponentShare[];

  @ApiProperty({ type: [OriginShare] })
  origins: readonly OriginShare[];

  @ApiProperty({ type: [WeighedView] })
  evidence: readonly WeighedView[];

  @ApiProperty({ type: [String] })
  notChecked: readonly string[];

  @ApiProperty({ description: 'Probability, under the leading explanation, of evidence at least this unlikely.' })
  surpriseTail: number;

  @ApiProperty()
  entropyBits: number;

  @ApiProperty({ enum: ['settled', 'to a person'] })
  verdict: string;

  @ApiProperty({ type: [String], description: 'Why it goes to a person.' })
  reasons: readonly string[];
}

/** A check worth making while the crew is still there. */
export class NextCheckView {
  @ApiProperty({ type: Sentence })
  says: Sentence;

  @ApiProperty({ description: 'Id of the checklist item that takes the answer.' })
  item: string;

  @ApiProperty()
  effortSeconds: number;

  @ApiProperty({ required: false })
  subject?: string;

  @ApiProperty({ required: false })
  observation?: string;

  @ApiProperty({ required: false, description: 'Expected fall of entropy.' })
  expectedBits?: number;

  @ApiProperty({ required: false })
  bitsPerSecond?: number;
}

/** What an inspection's answers say so far. A crew gets the next checks in words, without the reckoning. */
export class FindingsView {
  @ApiProperty({ required: false, description: 'code/version' })
  evidenceModel?: string;

  @ApiProperty({ required: false, description: 'code/version' })
  policy?: string;

  @ApiProperty({ type: [FindingView], required: false })
  findings?: readonly FindingView[];

  @ApiProperty({ type: [NextCheckView], description: 'Best first.' })
  nextChecks: readonly NextCheckView[];
}
