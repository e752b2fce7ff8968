import { Body, Controller, Delete, Get, HttpCode, Post, Res } from '@nestjs/common';
import { ApiCreatedResponse, ApiNoContentResponse, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { Database } from '../../platform/db/database.js';
import { scopeOf } from '../../platform/http/caller.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Creates } from '../../platform/http/idempotency.js';
import type { Actor } from '../access.contract.js';
import { CurrentActor, Needs, Public } from '../access.decorators.js';
import { AccessService } from '../access.service.js';
import { CredentialsService } from '../credentials.service.js';
import {
  LinkSessionAnswer,
  LinkSessionBody,
  NewVisitLinkBody,
  VisitLinkBody,
  VisitLinkListBody,
} from './access.dto.js';

/** How a crew gets in: a link from the office, changed for a cookie on the phone. */
@ApiTags('access')
@Controller('v1')
export class VisitLinksController {
  constructor(
    private readonly access: AccessService,
    private readonly credentials: CredentialsService,
    private readonly db: Database,
  ) {}

  @Post('link-sessions')
  @Public()
  @ApiOperation({ summary: 'Change a visit link for a cookie' })
  @ApiCreatedResponse({ type: LinkSessionAnswer })
  async open(
    @Body() body: LinkSessionBody,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<LinkSessionAnswer> {
    const actor = await this.credentials.openLink(body.token, reply);
    return { visit: actor.visit, crewName: actor.name };
  }

  @Delete('link-sessions/current')
  @Public()
  @HttpCode(204)
  @ApiOperation({ summary: 'Forget the visit link on this phone' })
  @ApiNoContentResponse()
  forget(@Res({ passthrough: true }) reply: FastifyReply): void {
    this.credentials.forgetLink(reply);
  }

  @Post('visits/:visit/links')
  @Creates({ shownOnce: ['token', 'url'] })
  @Needs('visit-link.manage')
  @ApiOperation({ summary: 'Make a link that lets a crew into one visit' })
  @ApiCreatedResponse({ type: VisitLinkBody })
  create(
    @CurrentActor() actor: Actor,
    @IdParam('visit') visit: string,
    @Body() body: NewVisitLinkBody,
  ): Promise<VisitLinkBody> {
    return this.db.inTenant(scopeOf(actor), (tx) =>
      this.access.createVisitLink(tx, actor, { visit, crewName: body.crewName, hours: body.hours }),
    );
  }

  @Get('visits/:visit/links')
  @Needs('visit-link.manage')
  @ApiOperation({ summary: 'List the links of a visit' })
  @ApiOkResponse({ type: VisitLinkListBody })
  async list(@CurrentActor() actor: Actor, @IdParam('visit') visit: string): Promise<VisitLinkListBody> {
    return { items: await this.access.visitLinks(actor, visit) };
  }

  @Delete('visits/:visit/links/:id')
  @Needs('visit-link.manage')
  @HttpCode(204)
  @ApiOperation({ summary: 'End a link' })
  @ApiNoContentResponse()
  async end(@CurrentActor() actor: Actor, @IdParam('visit') visit: string, @IdParam('id') id: string): Promise<void> {
    await this.access.endVisitLink(actor, visit, id);
  }
}
