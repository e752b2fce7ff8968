import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Config } from '../../platform/config/config.js';

export const SESSION_COOKIE = 'as_noted_session';
/** Crew that came by a link. A cookie of its own, so that an office session on the same phone is not lost. */
export const VISIT_COOKIE = 'as_noted_visit';

type CookieReply = FastifyReply & {
  setCookie(name: string, value: string, options: Record<string, unknown>): FastifyReply;
  clearCookie(name: string, options: Record<string, unknown>): FastifyReply;
};

/** Not readable by scripts, not sent along from other sites' forms, and only over https where the service has it. */
function attributes(config: Config): Record<string, unknown> {
  return { httpOnly: true, sameSite: 'lax', path: '/', secure: config.publicUrl.startsWith('https:') };
}

/** `ends` says when the browser may forget it; the server decides by itself when it stops counting. */
export function giveCookie(
  reply: FastifyReply,
  config: Config,
  cookie: { readonly name: string; readonly value: string; readonly ends: Date },
): void {
  (reply as CookieReply).setCookie(cookie.name, cookie.value, { ...attributes(config), expires: cookie.ends });
}

export function takeCookie(reply: FastifyReply, config: Config, name: string): void {
  (reply as CookieReply).clearCookie(name, attributes(config));
}

export function cookieOf(request: FastifyRequest, name: string): string | undefined {
  const cookies = (request as FastifyRequest & { cookies?: Record<string, string | undefined> }).cookies;
  return cookies?.[name];
}

/** The session token that a request came with, as a bearer token or a cookie. */
export function presentedSession(request: FastifyRequest): string | undefined {
  const bearer = /^Bearer +(\S+)$/i.exec(request.headers.authorization ?? '')?.[1];
  return bearer ?? cookieOf(request, SESSION_COOKIE);
}
