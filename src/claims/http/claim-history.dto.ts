import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { CLAIM_EVENTS, type ClaimEventKind, type Stamp } from '../claims.contract.js';
import { StandingDto } from './claim-answers.dto.js';

export class TimelineEntryDto {
  @ApiProperty({ format: 'date-time' })
  at: string;

  @ApiProperty({ enum: CLAIM_EVENTS })
  kind: ClaimEventKind;

  @ApiProperty({ example: 'The claim was filed.' })
  says: string;
}

export class TimelineDto {
  @ApiProperty({ type: StandingDto })
  standing: StandingDto;

  @ApiProperty({ type: [TimelineEntryDto] })
  items: TimelineEntryDto[];
}

export class ClaimEventDto {
  @ApiProperty({ type: 'integer' })
  n: number;

  @ApiProperty({ enum: CLAIM_EVENTS })
  kind: ClaimEventKind;

  @ApiProperty({ format: 'date-time' })
  at: string;

  @ApiProperty({
    type: 'object',
    properties: { kind: { type: 'string' }, id: { type: 'string' }, name: { type: 'string' } },
  })
  actor: Stamp;

  @ApiProperty({ type: 'object', additionalProperties: true })
  body: object;

  @ApiProperty({ description: 'SHA-256 of the event before, or 64 zeros.' })
  previousHash: string;

  @ApiProperty({ description: 'SHA-256 over the canonical JSON (RFC 8785) of everything else in this event.' })
  hash: string;
}

export class EventTrailDto {
  @ApiProperty({ description: 'Whether every event is as it was written.' })
  whole: boolean;

  @ApiPropertyOptional({ description: 'The first fault, where there is one.' })
  fault?: string;

  @ApiProperty({ type: [ClaimEventDto] })
  items: ClaimEventDto[];
}
