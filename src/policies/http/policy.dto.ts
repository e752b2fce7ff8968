import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { VERSION_STATES } from '../versions/version-state.js';
import { DocumentSummary } from '../../platform/documents/document-version.dto.js';
import {
  DateField,
  DocumentField,
  InstantField,
  ListField,
  NestedField,
  OneOfField,
  TextField,
  TextListField,
  UuidField,
  ValueField,
  WholeField,
  YesNoField,
} from '../../platform/http/fields.js';
import type { Facts } from '../policies.contract.js';

const VALUE_SCHEMAS = [{ type: 'string' }, { type: 'number' }, { type: 'boolean' }, { type: 'null' }] as const;

/** A new version of a policy. */
export class PolicyDraftBody {
  @DocumentField({
    description: 'Document of format policy/1. Its `id` is the code in the address; the service sets its `version`.',
  })
  document: Record<string, unknown>;

  @DateField({ description: 'Local date from which it governs once it is published.' })
  effectiveFrom: string;

  @DateField({
    optional: true,
    description: 'First day on which it no longer governs. Absent: until a later version begins.',
  })
  effectiveTo?: string;
}

/** Days on the calendar. */
export class PeriodView {
  @DateField()
  from: string;

  @DateField({ optional: true, description: 'First day on which it no longer governs; absent: it has no end.' })
  to?: string;
}

/** What a list says of a version of a policy. */
export class PolicySummary extends DocumentSummary {
  @TextField({
    max: 6,
    description: 'Country (ISO 3166-1), optionally with subdivision (ISO 3166-2).',
    example: 'US-CA',
  })
  jurisdiction: string;

  @OneOfField(VERSION_STATES)
  declare state: string;

  @DateField({ description: 'Day from which its author wants it to govern.' })
  effectiveFrom: string;

  @DateField({ optional: true })
  effectiveTo?: string;

  @InstantField({ optional: true })
  approvedAt?: string;

  @UuidField({ optional: true, description: 'Person who approved this content.' })
  approvedBy?: string;

  @ListField(() => PeriodView, { max: 1000, description: 'Days on which it governs, as it is written down now.' })
  periods: PeriodView[];
}

/** One version of a policy with its document. */
export class PolicyVersion extends PolicySummary {
  @DocumentField()
  document: object;
}

/** One page of versions of policies, in order of code and number. */
export class PolicyPage {
  @ListField(() => PolicySummary, { max: 200 })
  items: PolicySummary[];

  @TextField({ max: 1000, optional: true, description: 'Cursor of the next page; absent on the last.' })
  next?: string;
}

/** An outcome that somebody would have expected. */
export class WantedOutcome {
  @TextField({ max: 100 })
  name: string;

  @ValueField(VALUE_SCHEMAS)
  value: string | number | boolean | null;
}

/** What to evaluate a policy on. */
export class EvaluationBody {
  @DocumentField({
    description:
      'Known facts by name: text, numbers, true, false; null is known to be absent; decimals and dates travel as text.',
  })
  facts: Facts;

  @DateField({ optional: true, description: 'Absent: today where the policy governs.' })
  on?: string;

  @WholeField({ min: 1, max: 999_999_999, optional: true, description: 'Absent: the version in force on the day.' })
  version?: number;

  @InstantField({ optional: true, description: 'The version that governed on the day as it was written down then.' })
  asOf?: string;

  @TextListField({ max: 50, length: 100, optional: true, description: 'Decisions to make, in order; absent: all.' })
  decisions?: string[];

  @YesNoField({ optional: true, description: 'With the whole way to each outcome.' })
  explain?: boolean;

  @NestedField(() => WantedOutcome, { optional: true, description: 'Why an outcome is not this one.' })
  whyNot?: WantedOutcome;
}

/** A cell that had to hold, with the value that met it. */
export class MetCell {
  @ApiProperty()
  column: string;

  @ApiProperty()
  cell: string;

  @ApiProperty({ oneOf: [...VALUE_SCHEMAS] })
  value: string | number | boolean | null;
}

/** A rule that fired. */
export class FiredRuleView {
  @ApiProperty()
  decision: string;

  @ApiProperty({ description: 'Rule id, or `otherwise`.' })
  rule: string;

  @ApiProperty({ required: false })
  because?: string;

  @ApiProperty({ required: false })
  source?: string;

  @ApiProperty({ type: [MetCell] })
  cells: MetCell[];
}

/** A fact without which a decision cannot be made. */
export class NeededFact {
  @ApiProperty()
  fact: string;

  @ApiProperty({ required: false, description: 'The question to ask a person.' })
  ask?: string;

  @ApiProperty()
  decision: string;
}

/** A dated parameter that was used. */
export class UsedParameter {
  @ApiProperty()
  name: string;

  @ApiProperty({ format: 'date' })
  from: string;

  @ApiProperty()
  value: string;
}

/** What came of an evaluation. */
export class EvaluationView {
  @ApiProperty()
  code: string;

  @ApiProperty({ type: 'integer' })
  version: number;

  @ApiProperty({ format: 'date' })
  on: string;

  @ApiProperty({ type: 'object', additionalProperties: true, description: 'Outcomes by name.' })
  outcomes: object;

  @ApiProperty({ type: [FiredRuleView] })
  fired: FiredRuleView[];

  @ApiProperty({ type: [NeededFact] })
  needs: NeededFact[];

  @ApiProperty({ type: [UsedParameter] })
  parameters: UsedParameter[];

  @ApiProperty({ type: [String], description: 'Decisions for which no rule speaks.' })
  noRule: string[];

  @ApiPropertyOptional({
    type: 'array',
    items: { type: 'object', additionalProperties: true },
    description: 'With `explain`: for each decision its rules, cells, values and dated parameters.',
  })
  trace?: object[];

  @ApiPropertyOptional({
    type: 'object',
    additionalProperties: true,
    description:
      'With `whyNot`: rules that would give it and what stands against them, fewest cells first; the nearest change of facts.',
  })
  whyNot?: object;
}
