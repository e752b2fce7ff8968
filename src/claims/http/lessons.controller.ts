import { Body, Controller, Get, Param, Post, Query, Res } from '@nestjs/common';
import { ApiCreatedResponse, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import type { ModelComparison, ModelReport } from '../../diagnosis/learning.contract.js';
import { LearningService } from '../../diagnosis/learning.service.js';
import { sendDocument } from '../../platform/documents/document-version.dto.js';
import { VersionParam } from '../../platform/documents/version.pipe.js';
import { Creates } from '../../platform/http/idempotency.js';
import { CREATION_PROBLEMS, Problems } from '../../platform/http/problem-docs.js';
import { DecidedLessonsService } from '../decided-lessons.service.js';
import { LessonsDraft, LessonsDraftBody, LessonsReportQuery } from './lessons.dto.js';

/** What decided claims teach evidence models. It stands with the claims, because they hold the lessons. */
@ApiTags('evidence models')
@Controller('v1/evidence-models/:code')
export class LessonsController {
  constructor(
    private readonly lessons: DecidedLessonsService,
    private readonly learning: LearningService,
  ) {}

  @Post('lessons-draft')
  @Needs('model.edit')
  @Creates()
  @ApiOperation({ summary: 'Learn from decided claims into a draft of the next version' })
  @ApiCreatedResponse({ type: LessonsDraft })
  @Problems('evidence-model-not-published', 'evidence-model-invalid', 'nothing-to-learn', ...CREATION_PROBLEMS)
  async draft(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @Body() body: LessonsDraftBody,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<LessonsDraft> {
    const { from, until, ...strength } = body;
    const lessons = this.lessons.lessons(actor, code, { from, until });
    const { row, learntOn, tally, changed } = await this.learning.draft(actor, code, lessons, strength);
    void reply.header('location', `/v1/evidence-models/${row.code}/versions/${row.version}`);
    return Object.assign(sendDocument(reply, row), { learntOn, lessons: tally, changed });
  }

  @Get('versions/:version/report')
  @Needs('policy.read')
  @ApiOperation({ summary: 'How well a version meets decided claims, alone or beside another version' })
  @ApiOkResponse({
    schema: {
      type: 'object',
      additionalProperties: true,
      required: ['format'],
      properties: { format: { type: 'string', enum: ['evidence-report/1', 'evidence-comparison/1'] } },
    },
  })
  @Problems('not-found', 'policy-missing')
  async report(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @VersionParam() version: number,
    @Query() query: LessonsReportQuery,
  ): Promise<ModelReport | ModelComparison> {
    const { from, until, ...wish } = query;
    const lessons = this.lessons.lessons(actor, code, { from, until });
    return this.learning.report(actor, { code, version }, lessons, wish);
  }
}
