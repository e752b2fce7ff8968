import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import {
  DateField,
  InstantField,
  ListField,
  OneOfField,
  TextField,
  UuidField,
  WholeField,
  YesNoField,
  DocumentField,
} from '../../platform/http/fields.js';
import { PeriodView, PolicySummary, PolicyVersion } from './policy.dto.js';

/** Which versions of a policy to list. */
export class VersionsQuery {
  @DateField({ optional: true, description: 'Only the version that governs on this day.' })
  on?: string;

  @InstantField({ optional: true, description: 'As it was written down at this instant. Absent: as it is now.' })
  asOf?: string;
}

/** Words that go with a step. */
export class WordsBody {
  @TextField({ max: 4000, optional: true })
  words?: string;
}

/** Why. */
export class ReasonBody {
  @TextField({ max: 4000, description: 'Why, for whoever reads it later.' })
  words: string;
}

/** What an approver says. */
export class ApprovalBody {
  @TextField({ min: 64, max: 64, pattern: /^[0-9a-f]{64}$/, description: 'Hash of the content that you looked at.' })
  hash: string;

  @TextField({ max: 4000, optional: true })
  words?: string;

  @YesNoField({ optional: true, description: 'Put it on the calendar in the same step. Default: true.' })
  publish?: boolean;
}

const STEP_KINDS = ['drafted', 'edited', 'proposed', 'approved', 'rejected', 'published', 'withdrawn'] as const;

/** A step in the life of a version. */
export class StepView {
  @WholeField({ min: 1, max: 1_000_000 })
  n: number;

  @OneOfField(STEP_KINDS)
  kind: string;

  @InstantField()
  at: string;

  @UuidField({ description: 'Person.' })
  by: string;

  @TextField({ min: 64, max: 64, description: 'Hash of the content that the step was about.' })
  hash: string;

  @TextField({ max: 4000, optional: true })
  words?: string;

  @ApiProperty({
    type: 'object',
    additionalProperties: true,
    description:
      'What else is known: `rehearsal` that an approval rests on, `voids` of an edit, days of a publication.',
  })
  more: object;
}

/** One version with its document and everything that led to where it stands. */
export class PolicyLife extends PolicyVersion {
  @ListField(() => StepView, { max: 100_000 })
  steps: StepView[];
}

/** A place on the calendar with what was written down when. */
export class CalendarEntry extends PeriodView {
  @WholeField({ min: 1, max: 2_147_483_647 })
  version: number;

  @OneOfField(['published', 'cut', 'restored'], {
    description: '`cut`: what another version left of it. `restored`: given back by one that was withdrawn.',
  })
  because: string;

  @InstantField({ description: 'When it was written down.' })
  recordedAt: string;

  @InstantField({ optional: true, description: 'Since when it no longer counts; absent: it counts now.' })
  supersededAt?: string;
}

/** The versions of a policy and its calendar. */
export class PolicyVersions {
  @ListField(() => PolicySummary, { max: 10_000 })
  items: PolicySummary[];

  @ListField(() => CalendarEntry, { max: 100_000, description: 'In the order in which it was written down.' })
  calendar: CalendarEntry[];
}

/** A document to look at without keeping it. */
export class CheckBody {
  @DocumentField({ description: 'Document of format policy/1.' })
  document: Record<string, unknown>;
}

/** How one example came out. */
export class ExampleView {
  @ApiProperty()
  id: string;

  @ApiProperty()
  passed: boolean;

  @ApiProperty({ type: [String], description: 'One sentence for each expectation that was not met.' })
  differences: readonly string[];

  @ApiProperty({ type: [String] })
  fired: readonly string[];
}

/** Something that is wrong with a document, with its place. */
export class DocumentFault {
  @ApiProperty({ description: 'JSON pointer into the document.' })
  pointer: string;

  @ApiProperty()
  detail: string;
}

/** Everything that can be said of a document. */
export class PolicyCheck {
  @ApiProperty({
    description: 'Whether it could be proposed: it runs, its examples pass, the analysis finds no error.',
  })
  sound: boolean;

  @ApiProperty({ required: false, description: 'Hash of its content; absent where it cannot run.' })
  hash?: string;

  @ApiProperty({ type: [DocumentFault], description: 'Why it cannot run.' })
  faults: readonly DocumentFault[];

  @ApiProperty({ type: [ExampleView] })
  examples: readonly ExampleView[];

  @ApiPropertyOptional({
    type: 'object',
    additionalProperties: true,
    description: 'Findings of the analysis with places, examples and how many claims of the last 12 months lie there.',
  })
  analysis?: object;

  @ApiPropertyOptional({
    type: 'object',
    additionalProperties: true,
    description: 'What the examples touch: rules, and boundaries of cells.',
  })
  coverage?: object;
}

/** Which version to compare with. */
export class DifferenceQuery {
  @WholeField({ min: 1, max: 999_999_999, optional: true, description: 'Absent: the version in force.' })
  against?: number;
}
