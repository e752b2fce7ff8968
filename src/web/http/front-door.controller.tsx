import { Body, Controller, Get, Post, Query, Req, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Public } from '../../access/access.decorators.js';
import { PeopleService } from '../../access/people.service.js';
import { SignInService } from '../../access/sign-in.service.js';
import { callerOf } from '../../platform/http/caller.js';
import { Refused } from '../../platform/http/problems.js';
import { attempt, text, type Form } from '../form-fields.js';
import { goTo, sendPage } from '../html.js';
import { localAddress } from '../local-address.js';
import { homeOf, onlookerOf } from '../onlookers.js';
import { Account, FrontDoor, SignIn } from '../pages/front-door.js';

/** The front door, signing in and out, and one's own account. */
@ApiExcludeController()
@Controller()
export class FrontDoorController {
  constructor(
    private readonly signIns: SignInService,
    private readonly people: PeopleService,
  ) {}

  @Get()
  @Public()
  front(@Req() request: FastifyRequest, @Res() reply: FastifyReply): void {
    const actor = callerOf(request) as Actor | undefined;
    if (actor?.kind === 'person')
      sendPage(reply, <FrontDoor onlooker={onlookerOf(actor)} home={homeOf(actor.roles)} />);
    else sendPage(reply, <FrontDoor />);
  }

  @Get('sign-in')
  @Public()
  signInPage(@Query() query: Form, @Res() reply: FastifyReply): void {
    const next = localAddress(text(query, 'next'), '');
    sendPage(reply, <SignIn email="" next={next} changed={text(query, 'changed') !== ''} />);
  }

  @Post('sign-in')
  @Public()
  async signIn(@Body() form: Form, @Req() request: FastifyRequest, @Res() reply: FastifyReply): Promise<void> {
    const [email, next] = [text(form, 'email'), localAddress(text(form, 'next'), '')];
    const password = typeof form?.['password'] === 'string' ? form['password'] : '';
    const done = await attempt(() =>
      this.signIns.signIn({ email: email.slice(0, 320), password: password.slice(0, 1000), address: request.ip }),
    );
    if (!done.ok) {
      sendPage(reply, <SignIn email={email} next={next} trouble={done.trouble} />, done.trouble.status);
      return;
    }
    this.signIns.keepIn(reply, done.value);
    goTo(reply, next === '' ? homeOf(done.value.person.roles) : next);
  }

  @Post('sign-out')
  @Public()
  async signOut(@Req() request: FastifyRequest, @Res() reply: FastifyReply): Promise<void> {
    const actor = callerOf(request) as Actor | undefined;
    if (actor?.kind === 'person') await this.signIns.signOutOf(actor, request, reply);
    goTo(reply, '/');
  }

  @Get('account')
  account(@CurrentActor() actor: Actor, @Res() reply: FastifyReply): void {
    demandPerson(actor);
    sendPage(reply, <Account onlooker={onlookerOf(actor)} roles={actor.roles} />);
  }

  @Post('account/password')
  async changePassword(@CurrentActor() actor: Actor, @Body() form: Form, @Res() reply: FastifyReply): Promise<void> {
    demandPerson(actor);
    const raw = (name: string) => (typeof form?.[name] === 'string' ? form[name] : '');
    const done = await attempt(() =>
      this.people.changeOwnPassword(actor, {
        present: raw('present').slice(0, 1000),
        next: raw('next').slice(0, 1000),
      }),
    );
    if (done.ok) goTo(reply, '/sign-in?changed=yes');
    else {
      const page = <Account onlooker={onlookerOf(actor)} roles={actor.roles} trouble={done.trouble} />;
      sendPage(reply, page, done.trouble.status);
    }
  }
}

function demandPerson(actor: Actor): void {
  if (actor.kind !== 'person') throw new Refused('not-allowed', 'Only a person who signed in has an account page.');
}
