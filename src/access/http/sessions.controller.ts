import { Body, Controller, Delete, Get, HttpCode, Param, Post, Put, Req, Res } from '@nestjs/common';
import { ApiCreatedResponse, ApiNoContentResponse, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { Refused } from '../../platform/http/problems.js';
import type { Actor } from '../access.contract.js';
import { CurrentActor, Public } from '../access.decorators.js';
import { tokenHash } from '../crypto/tokens.js';
import { PeopleService } from '../people.service.js';
import { SignInService } from '../sign-in.service.js';
import { MeBody, PasswordChangeBody, SessionListBody, SignedInBody, SignInBody } from './access.dto.js';
import { toMeBody } from './access.mapper.js';
import { presentedSession } from './cookies.js';

/** Signing in and out. No Idempotency-Key here: a stored answer would be a stored secret, and a second session does no harm. */
@ApiTags('access')
@Controller('v1')
export class SessionsController {
  constructor(
    private readonly signIns: SignInService,
    private readonly people: PeopleService,
  ) {}

  @Post('sessions')
  @Public()
  @ApiOperation({ summary: 'Sign in' })
  @ApiCreatedResponse({ type: SignedInBody })
  async signIn(
    @Body() body: SignInBody,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<SignedInBody> {
    const signedIn = await this.signIns.signIn({
      email: body.email,
      password: body.password,
      address: request.ip,
    });
    const { token, expiresAt, person } = signedIn;
    const { id, name, roles } = person;
    const answer = { expiresAt: expiresAt.toString({ smallestUnit: 'millisecond' }), person: { id, name, roles } };
    if (body.use === 'bearer') return { ...answer, token };
    this.signIns.keepIn(reply, signedIn);
    return answer;
  }

  @Delete('sessions/current')
  @HttpCode(204)
  @ApiOperation({ summary: 'Sign out' })
  @ApiNoContentResponse()
  async signOut(
    @CurrentActor() actor: Actor,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<void> {
    await this.signIns.signOutOf(actor, request, reply);
  }

  @Get('sessions')
  @ApiOperation({ summary: 'List my sessions' })
  @ApiOkResponse({ type: SessionListBody })
  async sessions(@CurrentActor() actor: Actor): Promise<SessionListBody> {
    requirePerson(actor);
    return { items: await this.signIns.sessions(actor) };
  }

  @Delete('sessions/:id')
  @HttpCode(204)
  @ApiOperation({ summary: 'End one of my sessions' })
  @ApiNoContentResponse()
  async endSession(@CurrentActor() actor: Actor, @Param('id') id: string): Promise<void> {
    requirePerson(actor);
    await this.signIns.endSession(actor, id);
  }

  @Get('me')
  @ApiOperation({ summary: 'Who am I' })
  @ApiOkResponse({ type: MeBody })
  me(@CurrentActor() actor: Actor): MeBody {
    return toMeBody(actor);
  }

  @Put('me/password')
  @HttpCode(204)
  @ApiOperation({ summary: 'Change my password; all my other sessions end' })
  @ApiNoContentResponse()
  async changePassword(
    @CurrentActor() actor: Actor,
    @Body() body: PasswordChangeBody,
    @Req() request: FastifyRequest,
  ): Promise<void> {
    requirePerson(actor);
    const token = presentedSession(request);
    await this.people.changeOwnPassword(actor, {
      present: body.present,
      next: body.next,
      keep: token === undefined ? undefined : tokenHash(token),
    });
  }
}

function requirePerson(actor: Actor): void {
  if (actor.kind !== 'person')
    throw new Refused('not-allowed', 'Only a person who signed in has sessions and a password.');
}
