import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Lang } from './domain/crew-words.js';

/** What the cookie plugin adds. */
type Asking = FastifyRequest & { readonly cookies?: Readonly<Record<string, string | undefined>> };
type Answering = FastifyReply & { setCookie(name: string, value: string, options: object): FastifyReply };

const COOKIE = 'as_noted_language';
const YEAR_SECONDS = 365 * 24 * 60 * 60;

/** The language of the crew's pages: as chosen here before, else as the phone asks for, else English. */
export function languageOf(request: FastifyRequest): Lang {
  const chosen = (request as Asking).cookies?.[COOKIE];
  if (chosen === 'en' || chosen === 'es') return chosen;
  return /^es\b/i.test(request.headers['accept-language'] ?? '') ? 'es' : 'en';
}

/** Remembers a language on this phone. It is no secret and says nothing about anybody. */
export function rememberLanguage(reply: FastifyReply, lang: Lang): void {
  void (reply as Answering).setCookie(COOKIE, lang, {
    path: '/',
    httpOnly: true,
    sameSite: 'lax',
    maxAge: YEAR_SECONDS,
  });
}
