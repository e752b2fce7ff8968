import { Catch, NotFoundException, type ArgumentsHost, type ExceptionFilter } from '@nestjs/common';
import { HttpException } from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { isOutage } from '../db/database-errors.js';
import type { Log } from '../telemetry/log.js';
import { methodsAt } from './known-routes.js';
import { PROBLEMS, problemOf, Refused, type Problem, type ProblemCode } from './problems.js';

/**
 * What a browser that asked for a page gets instead of the JSON: a page or a redirection. Undefined: the JSON after all.
 */
export type ErrorPage = (
  problem: Problem,
  request: FastifyRequest,
) => { readonly html: string } | { readonly redirect: string } | undefined;

/**
 * Turns whatever was thrown into a problem document (RFC 9457). Only our own refusals speak for themselves; everything else,
 * also a foreign object that claims a status, answers 500 without inner text and leaves one error line with the stack.
 */
@Catch()
export class ProblemFilter implements ExceptionFilter {
  constructor(
    private readonly log: Log,
    private readonly errorPage?: ErrorPage,
  ) {}

  catch(thrown: unknown, host: ArgumentsHost): void {
    const http = host.switchToHttp();
    this.answer(thrown, http.getRequest<FastifyRequest>(), http.getResponse<FastifyReply>());
  }

  /** Writes the answer. */
  answer(thrown: unknown, request: FastifyRequest, reply: FastifyReply): void {
    const refused = this.refusalFor(thrown, request);
    if (reply.sent || reply.raw.headersSent) return;
    const path = request.url.split('?', 1)[0] ?? '/';
    const problem = problemOf(refused, path, request.id);
    noteCode(request, refused.code);
    setHeaders(reply, refused, request);
    const page = wantsPage(request) ? this.errorPage?.(problem, request) : undefined;
    if (page !== undefined && 'redirect' in page) {
      void reply.code(303).header('location', page.redirect).send();
    } else if (page !== undefined) {
      void reply.code(problem.status).type('text/html; charset=utf-8').send(page.html);
    } else {
      // As bytes, because to text Fastify adds a charset, which this media type does not have.
      const body = Buffer.from(JSON.stringify(problem));
      void reply.code(problem.status).header('content-type', 'application/problem+json').send(body);
    }
  }

  private refusalFor(thrown: unknown, request: FastifyRequest): Refused {
    if (thrown instanceof Refused) return thrown;
    if (thrown instanceof NotFoundException) return unknownRoute(request);
    const known = frameworkRefusal(thrown instanceof HttpException ? thrown.cause : thrown);
    if (known !== undefined) return known;
    if (isOutage(thrown)) {
      this.log.error({ err: thrown }, 'the database does not answer');
      return new Refused('unavailable', 'Try again in a moment.', { retryAfterSeconds: 5 });
    }
    this.log.error({ err: asError(thrown) }, 'a request failed');
    return new Refused('server-error', 'It has been noted. Quote the trace id if you report it.');
  }
}

const codes = new WeakMap<object, ProblemCode>();

function noteCode(request: FastifyRequest, code: ProblemCode): void {
  codes.set(request.raw, code);
}

/** The problem code a request was answered with, for its log line. */
export function problemCodeOf(request: FastifyRequest): ProblemCode | undefined {
  return codes.get(request.raw);
}

/** Fastify's and its plugins' own errors, by their codes. Statuses of anything else are not believed. */
const FRAMEWORK: Readonly<Record<string, readonly [ProblemCode, string?]>> = {
  FST_ERR_CTP_INVALID_JSON_BODY: [
    'malformed-json',
    'The body could not be read as JSON. Check brackets, commas and quotes.',
  ],
  FST_ERR_CTP_EMPTY_JSON_BODY: ['malformed-json', 'The body is empty although Content-Type says JSON.'],
  FST_ERR_CTP_BODY_TOO_LARGE: ['body-too-large', 'Send less at once.'],
  FST_ERR_CTP_INVALID_MEDIA_TYPE: ['unsupported-media-type', 'Set Content-Type to a kind that this address takes.'],
  FST_ERR_CTP_INVALID_CONTENT_LENGTH: ['invalid-request', 'Content-Length and the body do not agree. Send it again.'],
  FST_ERR_BAD_URL: ['not-found', 'The address has a broken escape. Check the percent signs.'],
  FST_ERR_MAX_PARAM_LENGTH: ['not-found', 'The address is too long.'],
  FST_INVALID_MULTIPART_CONTENT_TYPE: ['unsupported-media-type', 'Send a form with files (multipart/form-data).'],
  FST_REQ_FILE_TOO_LARGE: ['photo-too-large', 'Send a smaller file.'],
  FST_FILES_LIMIT: ['invalid-request', 'Send fewer files at once.'],
  FST_PARTS_LIMIT: ['invalid-request', 'Send fewer fields at once.'],
  FST_FIELDS_LIMIT: ['invalid-request', 'Send fewer fields at once.'],
};

function frameworkRefusal(thrown: unknown): Refused | undefined {
  if (!(thrown instanceof Error)) return undefined;
  if (thrown instanceof Refused) return thrown;
  const code = (thrown as { code?: unknown }).code;
  const known = typeof code === 'string' ? FRAMEWORK[code] : undefined;
  if (known !== undefined) return new Refused(known[0], known[1]);
  // secure-json-parse refuses `__proto__` members with a SyntaxError of its own.
  if (thrown instanceof SyntaxError && /prototype property/.test(thrown.message)) {
    return new Refused(
      'malformed-json',
      'The body holds a member name that is not accepted (__proto__ or constructor).',
    );
  }
  return undefined;
}

function unknownRoute(request: FastifyRequest): Refused {
  const allowed = methodsAt(request.server, request.url);
  if (allowed.length === 0 || allowed.includes(request.method)) {
    return new Refused('not-found', 'Nothing is kept at this address. Check it against /v1/openapi.json.');
  }
  return new Refused('method-not-allowed', `This address takes ${allowed.join(', ')}.`, { allowed });
}

function setHeaders(reply: FastifyReply, refused: Refused, request: FastifyRequest): void {
  const seconds = refused.extra['retryAfterSeconds'];
  if (typeof seconds === 'number') void reply.header('retry-after', String(Math.max(1, Math.ceil(seconds))));
  if (refused.code === 'method-not-allowed') {
    void reply.header('allow', methodsAt(request.server, request.url).join(', '));
  }
  if (PROBLEMS[refused.code].status === 401) void reply.header('www-authenticate', 'Bearer realm="As Noted"');
  void reply.header('cache-control', 'no-store');
}

function wantsPage(request: FastifyRequest): boolean {
  return !request.url.startsWith('/v1/') && (request.headers.accept ?? '').includes('text/html');
}

function asError(thrown: unknown): Error {
  return thrown instanceof Error ? thrown : new Error(`something that is no Error was thrown: ${typeof thrown}`);
}
