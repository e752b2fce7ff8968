import { ApiProperty } from '@nestjs/swagger';
import { DocumentSummary } from '../../platform/documents/document-version.dto.js';
import {
  DateField,
  DocumentField,
  ListField,
  TextField,
  TextListField,
  WholeField,
} from '../../platform/http/fields.js';
import type { Facts } from '../policies.contract.js';

/** A new version of a policy. */
export class PolicyDraftBody {
  @DocumentField({
    description: 'Document of format policy/1. Its `id` is the code in the address; the service sets its `version`.',
  })
  document: Record<string, unknown>;

  @DateField({ description: 'Local date from which it governs once it is published.' })
  effectiveFrom: string;
}

/** What a list says of a version of a policy. */
export class PolicySummary extends DocumentSummary {
  @TextField({
    max: 6,
    description: 'Country (ISO 3166-1), optionally with subdivision (ISO 3166-2).',
    example: 'US-CA',
  })
  jurisdiction: string;

  @DateField()
  effectiveFrom: string;
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

  @TextListField({ max: 50, length: 100, optional: true, description: 'Decisions to make, in order; absent: all.' })
  decisions?: string[];
}

/** A cell that had to hold, with the value that met it. */
export class MetCell {
  @ApiProperty()
  column: string;

  @ApiProperty()
  cell: string;

  @ApiProperty({ oneOf: [{ type: 'string' }, { type: 'number' }, { type: 'boolean' }, { type: 'null' }] })
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
}
