import { Body, Controller, Get, Param, Post, Put, Query, Req, Res } from '@nestjs/common';
import { ApiCreatedResponse, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { DocumentBody } from '../../platform/documents/document-version.dto.js';
import { VersionParam } from '../../platform/documents/version.pipe.js';
import { Creates } from '../../platform/http/idempotency.js';
import { PageQuery, sendPage, type Page } from '../../platform/http/pages.js';
import { CREATION_PROBLEMS, Problems } from '../../platform/http/problem-docs.js';
import { IfMatch, NeedsVersion, type VersionMatch } from '../../platform/http/versions.js';
import type { EvidenceModel } from '../diagnosis.contract.js';
import { EvidenceModelsService } from '../evidence-models.service.js';
import { studyModel } from '../study.contract.js';
import {
  EvidenceModelPage,
  ModelPublicationQuery,
  sendModel,
  toModelSummary,
  EvidenceModelVersion,
  type EvidenceModelSummary,
} from './evidence-model.dto.js';
import { ModelStudy, toStudyViews } from './study.dto.js';

/** Versions of evidence models. */
@ApiTags('evidence models')
@Controller('v1/evidence-models')
export class EvidenceModelsController {
  constructor(private readonly models: EvidenceModelsService) {}

  @Get()
  @Needs('policy.read')
  @ApiOperation({ summary: 'List the versions of all evidence models' })
  @ApiOkResponse({ type: EvidenceModelPage })
  @Problems('cursor-invalid')
  async list(
    @CurrentActor() actor: Actor,
    @Query() query: PageQuery,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<Page<EvidenceModelSummary>> {
    const page = await this.models.list(actor, query);
    return sendPage(request, reply, { ...page, items: page.items.map(toModelSummary) });
  }

  @Get(':code/versions/:version')
  @Needs('policy.read')
  @ApiOperation({ summary: 'Read one version of an evidence model' })
  @ApiOkResponse({ type: EvidenceModelVersion })
  @Problems('not-found')
  async read(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @VersionParam() version: number,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<EvidenceModelVersion> {
    return sendModel(reply, await this.models.read(actor, { code, version }));
  }

  @Get(':code/versions/:version/study')
  @Needs('policy.read')
  @ApiOperation({ summary: 'What can be said of a version without a claim: which explanations its signs tell apart' })
  @ApiOkResponse({ type: ModelStudy })
  @Problems('not-found')
  async study(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @VersionParam() version: number,
  ): Promise<ModelStudy> {
    const { body } = await this.models.read(actor, { code, version });
    // Checked when it was written.
    return { format: 'evidence-study/1', subjects: toStudyViews(studyModel(body as EvidenceModel)) };
  }

  @Post(':code/versions')
  @Needs('model.edit')
  @Creates()
  @ApiOperation({ summary: 'Write a new version of an evidence model as a draft' })
  @ApiCreatedResponse({ type: EvidenceModelVersion })
  @Problems('evidence-model-invalid', ...CREATION_PROBLEMS)
  async draft(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @Body() body: DocumentBody,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<EvidenceModelVersion> {
    const row = await this.models.draft(actor, code, body.document);
    void reply.header('location', `/v1/evidence-models/${row.code}/versions/${row.version}`);
    return sendModel(reply, row);
  }

  @Put(':code/versions/:version')
  @Needs('model.edit')
  @NeedsVersion()
  @ApiOperation({ summary: 'Change a draft' })
  @ApiOkResponse({ type: EvidenceModelVersion })
  @Problems('not-found', 'evidence-model-invalid', 'already-published', 'precondition-required', 'version-changed')
  async replace(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @VersionParam() version: number,
    @IfMatch() match: VersionMatch,
    @Body() body: DocumentBody,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<EvidenceModelVersion> {
    return sendModel(reply, await this.models.replace(actor, { code, version }, match, body.document));
  }

  @Post(':code/versions/:version/publication')
  @Needs('model.publish')
  @NeedsVersion()
  @Creates()
  @ApiOperation({ summary: 'Publish a draft that somebody else wrote, as it was read' })
  @ApiCreatedResponse({ type: EvidenceModelVersion })
  @Problems(
    'not-found',
    'same-person',
    'evidence-model-invalid',
    'already-published',
    'precondition-required',
    'version-changed',
    ...CREATION_PROBLEMS,
  )
  async publish(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @VersionParam() version: number,
    @IfMatch() match: VersionMatch,
    @Query() query: ModelPublicationQuery,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<EvidenceModelVersion> {
    return sendModel(reply, await this.models.publish(actor, { code, version }, match, query.effectiveFrom));
  }
}
