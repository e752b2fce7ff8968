import { Body, Controller, Delete, Get, HttpCode, Patch, Post, Put, Query, Req, Res } from '@nestjs/common';
import { ApiCreatedResponse, ApiNoContentResponse, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Creates } from '../../platform/http/idempotency.js';
import { PageQuery, sendPage, type Page } from '../../platform/http/pages.js';
import { Problems } from '../../platform/http/problem-docs.js';
import type { Actor } from '../access.contract.js';
import { CurrentActor, Needs } from '../access.decorators.js';
import { PeopleService } from '../people.service.js';
import { FirstPasswordBody } from './first-password.dto.js';
import { NewPersonBody, PersonBody, PersonChangeBody, PersonPageBody } from './access.dto.js';
import { toPersonBody } from './access.mapper.js';

/** The people of the tenant, for its administrators. */
@ApiTags('access')
@Needs('people.manage')
@Controller('v1/people')
export class PeopleController {
  constructor(private readonly people: PeopleService) {}

  @Get()
  @ApiOperation({ summary: 'List people' })
  @ApiOkResponse({ type: PersonPageBody })
  async list(
    @CurrentActor() actor: Actor,
    @Query() query: PageQuery,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<Page<PersonBody>> {
    const page = await this.people.list(actor, query);
    return sendPage(request, reply, { ...page, items: page.items.map(toPersonBody) });
  }

  @Post()
  @Creates()
  @ApiOperation({ summary: 'Add a person' })
  @ApiCreatedResponse({ type: PersonBody })
  async add(
    @CurrentActor() actor: Actor,
    @Body() body: NewPersonBody,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<PersonBody> {
    const person = await this.people.add(actor, body);
    void reply.header('location', `/v1/people/${person.id}`);
    return toPersonBody(person);
  }

  @Get(':id')
  @ApiOperation({ summary: 'Read a person' })
  @ApiOkResponse({ type: PersonBody })
  async read(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<PersonBody> {
    return toPersonBody(await this.people.read(actor, id));
  }

  @Patch(':id')
  @ApiOperation({ summary: 'Change name or roles' })
  @ApiOkResponse({ type: PersonBody })
  async change(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Body() body: PersonChangeBody,
  ): Promise<PersonBody> {
    return toPersonBody(await this.people.change(actor, id, { name: body.name, roles: body.roles }));
  }

  @Put(':id/password')
  @HttpCode(204)
  @ApiOperation({ summary: 'Give a person a new first password; their sessions end' })
  @ApiNoContentResponse()
  @Problems('not-found', 'password-too-weak')
  async setPassword(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Body() body: FirstPasswordBody,
  ): Promise<void> {
    await this.people.setPassword(actor, id, body.password);
  }

  @Post(':id/disablement')
  @Creates()
  @ApiOperation({ summary: 'Shut a person out; their sessions end' })
  @ApiCreatedResponse({ type: PersonBody })
  async disable(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<PersonBody> {
    return toPersonBody(await this.people.disable(actor, id));
  }

  @Delete(':id/disablement')
  @ApiOperation({ summary: 'Let a person in again' })
  @ApiOkResponse({ type: PersonBody })
  async enable(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<PersonBody> {
    return toPersonBody(await this.people.enable(actor, id));
  }
}
