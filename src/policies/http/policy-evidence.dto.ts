import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { PolicyCheck } from './policy-life.dto.js';
import { RehearsalView } from './rehearsal.dto.js';

/** A version by number and content. */
export class VersionRef {
  @ApiProperty({ type: 'integer' })
  version: number;

  @ApiProperty()
  hash: string;
}

/** Where one version decides otherwise than another. */
export class PolicyDifference {
  @ApiProperty({
    type: VersionRef,
    required: false,
    description: 'What is compared with; absent where nothing governs.',
  })
  was?: VersionRef;

  @ApiProperty({ type: VersionRef })
  becomes: VersionRef;

  @ApiProperty({ description: 'Whether both say the same, word for word.' })
  same: boolean;

  @ApiPropertyOptional({
    type: 'object',
    additionalProperties: true,
    description:
      'Regions in which the outcome differs, with the claims of the last 12 months in each, most first; what else changed.',
  })
  difference?: object;
}

/** What an approver has to see, all of it about the same content. */
export class PolicyEvidence {
  @ApiProperty({ description: 'Hash of the content that all of this is about: the one to approve.' })
  hash: string;

  @ApiProperty({ type: PolicyCheck })
  check: PolicyCheck;

  @ApiProperty({ type: PolicyDifference })
  difference: PolicyDifference;

  @ApiProperty({ description: 'Whether there are past claims that the version would govern.' })
  pastClaims: boolean;

  @ApiProperty({ type: RehearsalView, required: false, description: 'Newest finished rehearsal of this content.' })
  rehearsal?: RehearsalView;

  @ApiProperty({
    type: [String],
    description: 'What stands against approving it, in sentences; empty when nothing does.',
  })
  against: readonly string[];
}
