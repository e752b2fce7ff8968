import { Controller, Get } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Problems } from '../../platform/http/problem-docs.js';
import { DiagnosisService } from '../diagnosis.service.js';
import { FindingsView } from './findings.dto.js';
import { toFindingsView } from './findings.mapper.js';

/** What is broken and why, as far as the answers go. */
@ApiTags('findings')
@Controller('v1/inspections')
export class FindingsController {
  constructor(private readonly diagnosis: DiagnosisService) {}

  @Get(':id/findings')
  @Needs('finding.read')
  @ApiOperation({ summary: 'What the answers say so far, and which check is best made next' })
  @ApiOkResponse({ type: FindingsView })
  @Problems('not-found', 'policy-missing', 'evidence-model-not-published')
  async read(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<FindingsView> {
    return toFindingsView(actor, await this.diagnosis.ofInspection(actor, id));
  }
}
