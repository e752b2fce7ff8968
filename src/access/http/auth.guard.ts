import { Injectable, type CanActivate, type ExecutionContext } from '@nestjs/common';
import { Reflector } from '@nestjs/core';
import type { FastifyRequest } from 'fastify';
import type { Config } from '../../platform/config/config.js';
import { InjectConfig } from '../../platform/config/inject-config.js';
import { setCaller } from '../../platform/http/caller.js';
import { Refused } from '../../platform/http/problems.js';
import { PUBLIC_ROUTE } from '../../platform/http/public.js';
import { InjectLog } from '../../platform/telemetry/inject-log.js';
import type { Log } from '../../platform/telemetry/log.js';
import { noteActor } from '../../platform/telemetry/request-context.js';
import { actorRef, judge, type Act, type Actor } from '../access.contract.js';
import { NEEDED_ACT } from '../access.decorators.js';
import { CredentialsService, type Presented } from '../credentials.service.js';
import { cookieOf, SESSION_COOKIE, VISIT_COOKIE } from './cookies.js';
import { refuseCrossSite } from './cross-site.js';

/** Stands before every route: who is it, does the request come from our own pages, and may this role do such a thing at all. */
@Injectable()
export class AuthGuard implements CanActivate {
  constructor(
    private readonly credentials: CredentialsService,
    private readonly reflector: Reflector,
    @InjectConfig() private readonly config: Config,
    @InjectLog() private readonly log: Log,
  ) {}

  async canActivate(context: ExecutionContext): Promise<boolean> {
    const request = context.switchToHttp().getRequest<FastifyRequest>();
    const targets = [context.getHandler(), context.getClass()];
    const open = this.reflector.getAllAndOverride<boolean | undefined>(PUBLIC_ROUTE, targets) === true;
    const bearer = bearerOf(request);
    // A bearer token is never sent by a browser on its own, so only cookies can be abused by another site.
    if (bearer === undefined) refuseCrossSite(request, this.config.publicUrl);
    const actor = await this.actorOf(request, bearer, open);
    if (actor !== undefined) {
      setCaller(request, actor);
      noteActor(actor.tenant, actorRef(actor));
    }
    if (open) return true;
    if (actor === undefined) throw new Refused('sign-in-required', 'Sign in, or send an API key as a bearer token.');
    const act = this.reflector.getAllAndOverride<Act | undefined>(NEEDED_ACT, targets);
    if (act !== undefined && judge(actor, act) !== 'yes') {
      this.log.warn({ act }, 'an act was refused by role');
      throw new Refused('not-allowed', 'Your role does not include this. Ask an administrator if it should.');
    }
    return true;
  }

  private async actorOf(
    request: FastifyRequest,
    bearer: string | undefined,
    open: boolean,
  ): Promise<Actor | undefined> {
    if (bearer !== undefined) return this.accept(await this.credentials.identify(bearer), open);
    const session = cookieOf(request, SESSION_COOKIE);
    if (session !== undefined) {
      const presented = await this.credentials.identify(session);
      if (presented.is === 'actor') return presented.actor;
    }
    const visit = cookieOf(request, VISIT_COOKIE);
    return visit === undefined ? undefined : this.accept(await this.credentials.identify(visit), open);
  }

  /** A secret that does not count is told as such, except on routes that need none. */
  private accept(presented: Presented, open: boolean): Actor | undefined {
    if (presented.is === 'actor') return presented.actor;
    if (open) return undefined;
    if (presented.is === 'expired link') {
      throw new Refused(
        'link-expired',
        'Ask the office for a new link. What is on your phone is kept and sent afterwards.',
      );
    }
    if (presented.link)
      throw new Refused('link-unknown', 'Open the link from the message again, or ask the office for a new one.');
    throw new Refused('sign-in-required', 'The session or key is not known, or no longer counts. Sign in again.');
  }
}

function bearerOf(request: FastifyRequest): string | undefined {
  const header = request.headers.authorization;
  if (header === undefined) return undefined;
  // A header that is no bearer token is an attempt to sign in all the same: it must not fall back to a cookie.
  return /^Bearer +(\S+)$/i.exec(header.trim())?.[1] ?? '';
}
