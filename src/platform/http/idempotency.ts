import {
  applyDecorators,
  Injectable,
  SetMetadata,
  UseInterceptors,
  type CallHandler,
  type ExecutionContext,
  type NestInterceptor,
} from '@nestjs/common';
import { HTTP_CODE_METADATA } from '@nestjs/common/constants.js';
import { Reflector } from '@nestjs/core';
import { ApiHeader } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { firstValueFrom, of, type Observable } from 'rxjs';
import type { EntityManager } from 'typeorm';
import { contentHash } from '../../kernel/canonical-json.js';
import { Clock } from '../clock.js';
import type { Config } from '../config/config.js';
import { Database } from '../db/database.js';
import { requireCaller, scopeOf, type Caller } from './caller.js';
import { InjectConfig } from '../config/inject-config.js';
import { Invalid, isProblemCode, Refused, type ProblemCode, type ProblemExtras } from './problems.js';

const SHOWN_ONCE = 'as-noted:shown-once';

/** Headers that belong to a stored result. */
const KEPT_HEADERS = ['etag', 'location'] as const;

export interface CreatesOptions {
  /** Members of the answer that are shown once and never stored: secrets. A replay leaves them out. */
  readonly shownOnce?: readonly string[];
}

/**
 * For every POST that creates something: demands an Idempotency-Key and answers a repeated request with the first result
 * (draft-ietf-httpapi-idempotency-key-header). Key, effect and stored result are one transaction: all of them or none.
 * Refusals are kept too; a request with mistakes in it (`Invalid`) is not, so it can be corrected under the same key.
 */
export function Creates(options: CreatesOptions = {}): MethodDecorator {
  return applyDecorators(
    SetMetadata(SHOWN_ONCE, options.shownOnce ?? []),
    UseInterceptors(Idempotency),
    ApiHeader({
      name: 'Idempotency-Key',
      required: true,
      description:
        'A key of your own in double quotes, e.g. "8e03978e-40d5-43e8-bc93-6894a57f9324". Kept for 24 hours.',
      schema: { type: 'string' },
    }),
  );
}

/** Reads the header as a structured field string (RFC 8941 section 3.3.3). @throws Refused `idempotency-key-missing` */
export function readIdempotencyKey(header: string | string[] | undefined): string {
  const text = Array.isArray(header) ? undefined : header?.trim();
  if (text === undefined || text === '') {
    throw new Refused(
      'idempotency-key-missing',
      'Send an Idempotency-Key header, so that repeating the request is safe.',
    );
  }
  const inner = /^"((?:[\x20-\x21\x23-\x5b\x5d-\x7e]|\\["\\])*)"$/.exec(text)?.[1];
  const key = inner?.replaceAll(/\\(["\\])/g, '$1');
  if (key === undefined || key.length === 0 || key.length > 255) {
    throw new Refused(
      'idempotency-key-missing',
      'Idempotency-Key must be 1 to 255 plain characters in double quotes, like "8e03978e-40d5-43e8-bc93-6894a57f9324".',
    );
  }
  return key;
}

interface Stored {
  readonly fingerprint: string;
  readonly status: number;
  readonly headers: Readonly<Record<string, string>>;
  readonly body: unknown;
}

interface StoredRefusal {
  readonly code: ProblemCode;
  readonly detail?: string;
  readonly extra: ProblemExtras;
}

type Result =
  | { readonly ok: true; readonly body: unknown; readonly replayed: boolean; readonly headers: Stored['headers'] }
  | { readonly ok: false; readonly refused: Refused; readonly replayed: boolean };

@Injectable()
export class Idempotency implements NestInterceptor {
  constructor(
    private readonly db: Database,
    private readonly clock: Clock,
    private readonly reflector: Reflector,
    @InjectConfig() private readonly config: Config,
  ) {}

  async intercept(context: ExecutionContext, next: CallHandler): Promise<Observable<unknown>> {
    const http = context.switchToHttp();
    const request = http.getRequest<FastifyRequest>();
    const reply = http.getResponse<FastifyReply>();
    const caller = requireCaller(request);
    const slot: Slot = {
      caller,
      client: `${caller.kind}:${caller.id}`,
      key: readIdempotencyKey(request.headers['idempotency-key']),
      fingerprint: contentHash({ method: request.method, url: request.url, body: request.body ?? null }),
      status: this.statusOf(context),
      shownOnce: this.reflector.get<readonly string[] | undefined>(SHOWN_ONCE, context.getHandler()) ?? [],
    };
    const result = await this.db.inTenant(scopeOf(caller), (tx) =>
      this.once(tx, slot, () => firstValueFrom(next.handle(), { defaultValue: undefined }), reply),
    );
    if (result.replayed) void reply.header('idempotency-replayed', 'true');
    if (!result.ok) throw result.refused;
    for (const [name, value] of Object.entries(result.headers)) void reply.header(name, value);
    return of(result.body);
  }

  private statusOf(context: ExecutionContext): number {
    return this.reflector.get<number | undefined>(HTTP_CODE_METADATA, context.getHandler()) ?? 201;
  }

  private async once(tx: EntityManager, slot: Slot, run: () => Promise<unknown>, reply: FastifyReply): Promise<Result> {
    await lock(tx, slot);
    const stored = await find(tx, slot, this.clock.now());
    if (stored !== undefined) return replay(stored, slot);
    try {
      // A savepoint, so that a refusal leaves nothing behind but itself.
      const body = await this.db.attempt(tx, run);
      const headers = keptHeaders(reply);
      await this.keep(tx, slot, { ...slot, headers, body: withoutSecrets(body, slot.shownOnce) });
      return { ok: true, body, replayed: false, headers };
    } catch (error) {
      if (!(error instanceof Refused) || error instanceof Invalid) throw error;
      const refusal: StoredRefusal = {
        code: error.code,
        ...(error.detail === undefined ? {} : { detail: error.detail }),
        extra: error.extra,
      };
      await this.keep(tx, slot, { ...slot, status: 0, headers: {}, body: refusal });
      return { ok: false, refused: error, replayed: false };
    }
  }

  private async keep(tx: EntityManager, slot: Slot, result: Stored): Promise<void> {
    const now = this.clock.now();
    const expires = now.add({ hours: this.config.lifetimes.idempotencyKeyHours });
    await tx.query(
      `insert into idempotency_key (tenant_id, client, key, fingerprint, status, headers, body, created_at, expires_at)
       values ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
      [
        slot.caller.tenant,
        slot.client,
        slot.key,
        result.fingerprint,
        result.status,
        JSON.stringify(result.headers),
        JSON.stringify(result.body ?? null),
        now.toString(),
        expires.toString(),
      ],
    );
  }
}

interface Slot {
  readonly caller: Caller;
  readonly client: string;
  readonly key: string;
  readonly fingerprint: string;
  readonly status: number;
  readonly shownOnce: readonly string[];
}

/** The lock lives as long as the transaction, so a crash frees it and nobody has to clean up. */
async function lock(tx: EntityManager, slot: Slot): Promise<void> {
  const [row] = await tx.query<{ free: boolean }[]>(`select pg_try_advisory_xact_lock(hashtextextended($1, 0)) free`, [
    `idempotency ${slot.caller.tenant} ${slot.client} ${slot.key}`,
  ]);
  if (row?.free !== true) {
    throw new Refused('idempotency-key-in-use', 'Wait a moment and send it again; you will get the first answer.', {
      retryAfterSeconds: 1,
    });
  }
}

async function find(tx: EntityManager, slot: Slot, now: Temporal.Instant): Promise<Stored | undefined> {
  // Old keys go a few at a time, by whoever comes along; the one that is asked for must go if it has expired.
  await tx.query(
    `delete from idempotency_key where tenant_id = $1 and expires_at <= $2 and ((client = $3 and key = $4) or ctid in
       (select ctid from idempotency_key where tenant_id = $1 and expires_at <= $2 limit 20 for update skip locked))`,
    [slot.caller.tenant, now.toString(), slot.client, slot.key],
  );
  const rows = await tx.query<Stored[]>(
    `select fingerprint, status, headers, body from idempotency_key where tenant_id = $1 and client = $2 and key = $3`,
    [slot.caller.tenant, slot.client, slot.key],
  );
  return rows[0];
}

function replay(stored: Stored, slot: Slot): Result {
  if (stored.fingerprint !== slot.fingerprint) {
    throw new Refused(
      'idempotency-key-reused',
      'Use a new key for a new request, or send the first request unchanged.',
    );
  }
  if (stored.status !== 0) return { ok: true, body: stored.body, replayed: true, headers: stored.headers };
  const { code, detail, extra } = stored.body as StoredRefusal;
  if (!isProblemCode(code)) throw new Error(`a stored refusal has the unknown code ${String(code)}`);
  return { ok: false, refused: new Refused(code, detail, extra), replayed: true };
}

function keptHeaders(reply: FastifyReply): Readonly<Record<string, string>> {
  return Object.fromEntries(
    KEPT_HEADERS.flatMap((name) => {
      const value = reply.getHeader(name);
      return typeof value === 'string' ? [[name, value] as const] : [];
    }),
  );
}

function withoutSecrets(body: unknown, names: readonly string[]): unknown {
  if (names.length === 0 || typeof body !== 'object' || body === null) return body;
  return Object.fromEntries(Object.entries(body).filter(([name]) => !names.includes(name)));
}
