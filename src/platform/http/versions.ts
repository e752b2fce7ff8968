import { applyDecorators, createParamDecorator, type ExecutionContext } from '@nestjs/common';
import { ApiHeader } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { Refused } from './problems.js';

/** What a client says about the version it has seen (If-Match, RFC 9110 section 13.1.1). */
export class VersionMatch {
  private constructor(private readonly versions: readonly number[] | '*') {}

  /**
   * Reads If-Match. Strong comparison: a weak tag and a tag that is not ours match nothing, so they end in 412.
   * @throws Refused `precondition-required` when the header is missing (RFC 6585 section 3), `invalid-request` when it is no list of tags.
   */
  static read(header: string | undefined): VersionMatch {
    if (header === undefined || header.trim() === '') {
      throw new Refused(
        'precondition-required',
        'Send the ETag that you last read as If-Match, so that no change is lost.',
      );
    }
    if (header.trim() === '*') return new VersionMatch('*');
    const tags = header.split(',').map((tag) => tag.trim());
    if (!tags.every((tag) => /^(W\/)?"[\x21\x23-\x7e\x80-\xff]*"$/.test(tag))) {
      throw new Refused('invalid-request', 'If-Match must be a list of entity tags in double quotes, or *.');
    }
    const versions = tags.flatMap((tag) => {
      const match = /^"v(\d{1,9})"$/.exec(tag);
      return match === null ? [] : [Number(match[1])];
    });
    return new VersionMatch(versions);
  }

  /** Whether a change to this version may go on. */
  allows(current: number): boolean {
    return this.versions === '*' || this.versions.includes(current);
  }

  /** @throws Refused `version-changed` when the client has seen another version than the current one. */
  demand(current: number): void {
    if (this.allows(current)) return;
    throw new Refused('version-changed', 'Read it again, look at what changed, and repeat your change on top of it.', {
      currentVersion: current,
    });
  }
}

const IfMatchValue = createParamDecorator((_data: unknown, context: ExecutionContext) =>
  VersionMatch.read(context.switchToHttp().getRequest<FastifyRequest>().headers['if-match']),
);

/** The If-Match of the request as a VersionMatch; the request is refused with 428 when it is missing. */
export function IfMatch(): ParameterDecorator {
  return IfMatchValue();
}

/** Documents that a route needs If-Match. Use beside `@IfMatch()`. */
export function NeedsVersion(): MethodDecorator {
  return applyDecorators(
    ApiHeader({
      name: 'If-Match',
      required: true,
      description: 'The ETag last read, e.g. "v3". Missing: 428, stale: 412.',
      schema: { type: 'string' },
    }),
  );
}

/** Reads If-Match outside a controller parameter. */
export function requireVersion(request: FastifyRequest): VersionMatch {
  return VersionMatch.read(request.headers['if-match']);
}

/** Tells the client the version that it now has, as a strong entity tag. */
export function setVersion(reply: FastifyReply, version: number): void {
  void reply.header('etag', `"v${version}"`);
}
