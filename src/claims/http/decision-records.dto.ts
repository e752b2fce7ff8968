import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { REMEDIES, type Remedy } from '../../kernel/vocabulary.js';
import { OneOfField } from '../../platform/http/fields.js';
import type { DecisionRecordRow } from '../../policies/decision-records.service.js';

const OBJECT = { type: 'object', additionalProperties: true } as const;

/** A judgement of a claim as it was kept, without its texts. */
export class DecisionRecordSummary {
  @ApiProperty({ format: 'uuid' })
  id: string;

  @ApiProperty({ format: 'uuid' })
  claim: string;

  @ApiProperty({ type: 'integer', description: 'Counts the judgements of the claim from 1.' })
  n: number;

  @ApiProperty({ ...OBJECT, description: '`code`, `version` and content `hash` of the policy.' })
  policy: object;

  @ApiProperty({ format: 'date', description: 'Day by which dated parameters were chosen.' })
  governedOn: string;

  @ApiProperty({ type: 'integer', description: 'Number of the meaning that the program gave to the rules.' })
  semantics: number;

  @ApiProperty({ format: 'date-time' })
  madeAt: string;

  @ApiProperty({ description: 'Who judged.' })
  actor: string;

  @ApiProperty({ description: 'SHA-256 over all that the record says; the events of the claim name it.' })
  hash: string;
}

/** A judgement of a claim as it was kept. */
export class DecisionRecordView extends DecisionRecordSummary {
  @ApiProperty({ ...OBJECT, description: 'Format frozen-case/1: what the policy judged.' })
  facts: object;

  @ApiProperty({ ...OBJECT, description: 'Remedies, money, who answers, demands, hold, verdict, clocks, rules.' })
  outcome: object;

  @ApiProperty({ description: 'SHA-256 of the canonical JSON (RFC 8785) of the facts.' })
  factsHash: string;

  @ApiProperty()
  outcomeHash: string;

  @ApiProperty()
  traceHash: string;
}

/** The records of a claim, oldest first. */
export class DecisionRecordList {
  @ApiProperty({ type: [DecisionRecordSummary] })
  items: DecisionRecordSummary[];
}

/** How an outcome came about. */
export class DecisionWhy {
  @ApiProperty({ type: 'array', items: OBJECT, description: 'Dated parameters that were used, with their values.' })
  parameters: readonly object[];

  @ApiProperty({
    type: 'array',
    items: OBJECT,
    description:
      'Questions to the policy: what they were about, outcomes, rules with reason, source, cells and values.',
  })
  questions: readonly object[];
}

/** How one version came to an outcome. */
export class RehearsedWay extends DecisionWhy {
  @ApiProperty({ type: 'integer', description: 'Version of the policy.' })
  version: number;
}

/** A claim that a rehearsal found to come out otherwise, with the way to both outcomes. */
export class RehearsedClaimView {
  @ApiProperty({ ...OBJECT, description: 'The change, as the list of changes has it.' })
  change: object;

  @ApiPropertyOptional({ type: RehearsedWay, description: 'Absent where the version that judged it is gone.' })
  was?: RehearsedWay;

  @ApiPropertyOptional({ type: RehearsedWay, description: 'Absent where the rehearsed version cannot be applied.' })
  becomes?: RehearsedWay;
}

/** Which remedy somebody would have expected. */
export class WhyNotQuery {
  @OneOfField(REMEDIES)
  remedy: Remedy;
}

/** Why one matter did not get a remedy. */
export class RemedyNotGivenView {
  @ApiProperty()
  about: string;

  @ApiProperty()
  given: boolean;

  @ApiProperty({ description: 'One sentence.' })
  says: string;

  @ApiPropertyOptional({
    ...OBJECT,
    description:
      'Rules that would allow it and what stands against them, fewest cells first; the nearest change of facts.',
  })
  whyNot?: object;
}

/** Why a remedy was not given, matter by matter. */
export class DecisionWhyNot {
  @ApiProperty({ type: [RemedyNotGivenView] })
  items: readonly RemedyNotGivenView[];
}

/** How a record compares with what its facts and its policy come to now. */
export class ReplayView {
  @ApiProperty({ format: 'uuid' })
  record: string;

  @ApiProperty({ format: 'uuid' })
  claim: string;

  @ApiProperty({ type: [String], description: 'What is not as it was written; empty where all is, byte for byte.' })
  differences: readonly string[];
}

/** A record as a list shows it. */
export function toRecordSummary(record: DecisionRecordRow): Readonly<DecisionRecordSummary> {
  const { id, claimId, n, governedOn, semantics, madeAt, actor, hash } = record;
  const policy = { code: record.policyCode, version: record.policyVersion, hash: record.policyHash };
  return { id, claim: claimId, n, policy, governedOn, semantics, madeAt, actor, hash };
}

/** A record with its texts. */
export function toRecordView(record: DecisionRecordRow): DecisionRecordView {
  const { facts, outcome, factsHash, outcomeHash, traceHash } = record;
  return {
    ...toRecordSummary(record),
    facts: JSON.parse(facts) as object,
    outcome: JSON.parse(outcome) as object,
    factsHash,
    outcomeHash,
    traceHash,
  };
}
