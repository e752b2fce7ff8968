import { ApiProperty } from '@nestjs/swagger';
import { UuidField } from '../../platform/http/fields.js';

/** Somebody of the desk. */
export class TakerNameDto {
  @ApiProperty({ format: 'uuid' })
  id: string;

  @ApiProperty({ example: 'Ada Merrow' })
  name: string;
}

/** How a claim is taken. */
export class TakingBody {
  @UuidField({ optional: true, description: 'Whom it is taken from on purpose; left out: only if nobody has it.' })
  from?: string;
}

/** Who has a claim. */
export class TakerDto {
  @ApiProperty({ type: TakerNameDto, nullable: true, description: 'null: nobody.' })
  takenBy: TakerNameDto | null;

  @ApiProperty({ type: String, format: 'date-time', nullable: true })
  takenAt: string | null;
}
