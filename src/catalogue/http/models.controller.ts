import { Body, Controller, Get, Param, Post, Put, Query, Req, Res } from '@nestjs/common';
import { ApiCreatedResponse, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { Creates } from '../../platform/http/idempotency.js';
import { PageQuery, sendPage, type Page } from '../../platform/http/pages.js';
import { CREATION_PROBLEMS, Problems } from '../../platform/http/problem-docs.js';
import { IfMatch, NeedsVersion, setVersion, type VersionMatch } from '../../platform/http/versions.js';
import { CatalogueService } from '../catalogue.service.js';
import type { Model } from '../catalogue.contract.js';
import { ModelBody, ModelPage, type ModelSummary } from './model.dto.js';
import { toModel, toModelSummary } from './model.mapper.js';

/** Product models with their component trees, parts and warranty terms. */
@ApiTags('catalogue')
@Controller('v1/models')
export class ModelsController {
  constructor(private readonly catalogue: CatalogueService) {}

  @Get()
  @Needs('catalogue.read')
  @ApiOperation({ summary: 'List the models' })
  @ApiOkResponse({ type: ModelPage })
  @Problems('cursor-invalid')
  async list(
    @CurrentActor() actor: Actor,
    @Query() query: PageQuery,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<Page<ModelSummary>> {
    const page = await this.catalogue.list(actor, query);
    return sendPage(request, reply, { ...page, items: page.items.map(toModelSummary) });
  }

  @Post()
  @Needs('catalogue.write')
  @Creates()
  @ApiOperation({ summary: 'Add a model' })
  @ApiCreatedResponse({ type: ModelBody })
  @Problems('model-exists', ...CREATION_PROBLEMS)
  async create(
    @CurrentActor() actor: Actor,
    @Body() body: ModelBody,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<Model> {
    const stored = await this.catalogue.create(actor, toModel(body));
    setVersion(reply, stored.version);
    void reply.header('location', `/v1/models/${stored.model.sku}`);
    return stored.model;
  }

  @Get(':sku')
  @Needs('catalogue.read')
  @ApiOperation({ summary: 'Read a model' })
  @ApiOkResponse({ type: ModelBody })
  @Problems('not-found')
  async read(
    @CurrentActor() actor: Actor,
    @Param('sku') sku: string,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<Model> {
    const stored = await this.catalogue.read(actor, sku);
    setVersion(reply, stored.version);
    return stored.model;
  }

  @Put(':sku')
  @Needs('catalogue.write')
  @NeedsVersion()
  @ApiOperation({ summary: 'Replace a model' })
  @ApiOkResponse({ type: ModelBody })
  @Problems('not-found', 'precondition-required', 'version-changed')
  async replace(
    @CurrentActor() actor: Actor,
    @Param('sku') sku: string,
    @IfMatch() match: VersionMatch,
    @Body() body: ModelBody,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<Model> {
    const stored = await this.catalogue.replace(actor, sku, match, toModel(body));
    setVersion(reply, stored.version);
    return stored.model;
  }
}
