import { createHash } from 'node:crypto';
import { Injectable } from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { EntityManager } from 'typeorm';
import { Clock } from '../platform/clock.js';
import type { Config } from '../platform/config/config.js';
import { InjectConfig } from '../platform/config/inject-config.js';
import { Database } from '../platform/db/database.js';
import { Refused } from '../platform/http/problems.js';
import { InjectLog } from '../platform/telemetry/inject-log.js';
import type { Log } from '../platform/telemetry/log.js';
import type { Actor } from './access.contract.js';
import { hashPassword, isBelowCost, verifyPassword } from './crypto/password-hash.js';
import { newToken, tokenHash } from './crypto/tokens.js';
import { giveCookie, presentedSession, SESSION_COOKIE, takeCookie } from './http/cookies.js';
import { SessionRow } from './store/access.entities.js';

/** Failed tries of one account, and of one address over all accounts, within the window. NIST SP 800-63B-4 allows 100 in a row. */
const WINDOW_MINUTES = 15;
const TRIES_PER_ACCOUNT = 10;
const TRIES_PER_ADDRESS = 60;

export interface SignInAttempt {
  readonly email: string;
  readonly password: string;
  /** Network address of the client. */
  readonly address: string;
}

export interface SignedIn {
  /** The session's secret, shown once. */
  readonly token: string;
  readonly expiresAt: Temporal.Instant;
  readonly person: {
    readonly id: string;
    readonly tenant: string;
    readonly name: string;
    readonly roles: readonly string[];
  };
}

export interface SessionView {
  readonly id: string;
  readonly createdAt: string;
  readonly lastSeenAt: string;
  readonly expiresAt: string;
}

interface Account {
  readonly id: string;
  readonly tenant_id: string;
  readonly name: string;
  readonly roles: string[];
  readonly password_hash: string;
  readonly disabled_at: Date | null;
  readonly sample: boolean;
}

/** Signing in and out of people, with their sessions. */
@Injectable()
export class SignInService {
  /** Something to compare with when there is no such account, made once, so that both cases do the same work. */
  private readonly nobody = hashPassword('nobody has this password, it only costs time');

  constructor(
    private readonly db: Database,
    private readonly clock: Clock,
    @InjectConfig() private readonly config: Config,
    @InjectLog() private readonly log: Log,
  ) {}

  /**
   * Opens a session.
   * @throws Refused `sign-in-refused`, the same whether the account is unknown, disabled or the password wrong;
   * `too-many-attempts` with the seconds to wait.
   */
  async signIn(attempt: SignInAttempt): Promise<SignedIn> {
    const email = attempt.email.trim().toLowerCase();
    const emailHash = createHash('sha256').update(email).digest();
    await this.countAttempt(emailHash, attempt.address);
    const account = await this.find(email);
    const matches = await verifyPassword(attempt.password, account?.password_hash ?? (await this.nobody));
    if (account === undefined || !matches || account.disabled_at !== null || this.isRefusedSample(account)) {
      throw new Refused('sign-in-refused', 'Check e-mail address and password and try again.');
    }
    return this.open(account, emailHash, attempt.password);
  }

  /** Gives a browser the session as a cookie. */
  keepIn(reply: FastifyReply, signedIn: SignedIn): void {
    const ends = new Date(signedIn.expiresAt.epochMilliseconds);
    giveCookie(reply, this.config, { name: SESSION_COOKIE, value: signedIn.token, ends });
  }

  /** Ends the session that a request came with, if it came with one, and takes the cookie back. */
  async signOutOf(actor: Actor, request: FastifyRequest, reply: FastifyReply): Promise<void> {
    const token = presentedSession(request);
    if (token !== undefined) await this.signOut(actor, tokenHash(token));
    takeCookie(reply, this.config, SESSION_COOKIE);
  }

  /** Ends the session of a token. Ending one that has ended already is no fault. */
  async signOut(actor: Actor, tokenHash: Buffer): Promise<void> {
    await this.db.inTenant({ tenant: actor.tenant }, (tx) =>
      tx.query('update session set ended_at = $2 where token_hash = $1 and ended_at is null', [tokenHash, this.now()]),
    );
  }

  /** The person's own sessions that still count, newest first. */
  async sessions(actor: Actor): Promise<readonly SessionView[]> {
    const rows = await this.db.inTenant({ tenant: actor.tenant }, (tx) =>
      tx.query<{ id: string; created_at: Date; last_seen_at: Date; expires_at: Date }[]>(
        `select left(encode(sha256(token_hash), 'hex'), 32) id, created_at, last_seen_at, expires_at from session
         where person_id = $1 and ended_at is null and expires_at > $2 and last_seen_at > $3
         order by created_at desc, token_hash limit 200`,
        [actor.id, this.now(), this.idleLimit()],
      ),
    );
    return rows.map((row) => ({
      id: row.id,
      createdAt: row.created_at.toISOString(),
      lastSeenAt: row.last_seen_at.toISOString(),
      expiresAt: row.expires_at.toISOString(),
    }));
  }

  /** Ends one of the person's own sessions. @throws Refused `not-found` */
  async endSession(actor: Actor, id: string): Promise<void> {
    const ended = await this.db.inTenant({ tenant: actor.tenant }, async (tx) => {
      const result = await tx.queryRunner?.query(
        `update session set ended_at = $3
         where person_id = $1 and left(encode(sha256(token_hash), 'hex'), 32) = $2 and ended_at is null`,
        [actor.id, id, this.now()],
        true,
      );
      return result?.affected ?? 0;
    });
    if (ended === 0) throw new Refused('not-found', 'You have no such session.');
  }

  /** Counts before the password is looked at, under a lock, so that many tries at once do not slip through together. */
  private async countAttempt(emailHash: Buffer, address: string): Promise<void> {
    const wait = await this.db.outside(async (tx) => {
      await tx.query('select pg_advisory_xact_lock(hashtextextended($1, 1))', [emailHash.toString('hex')]);
      const since = this.clock.now().subtract({ minutes: WINDOW_MINUTES }).toString();
      const rows = await tx.query<{ account: string; address: string; oldest: Date | null }[]>(
        `select count(*) filter (where email_hash = $1) account, count(*) filter (where address = $2) address, min(at) oldest
         from sign_in_attempt where (email_hash = $1 or address = $2) and at > $3`,
        [emailHash, address, since],
      );
      const counted = rows[0];
      const full = Number(counted?.account) >= TRIES_PER_ACCOUNT || Number(counted?.address) >= TRIES_PER_ADDRESS;
      if (full) return this.secondsUntil(counted?.oldest ?? null);
      await tx.query('insert into sign_in_attempt (email_hash, address, at) values ($1, $2, $3)', [
        emailHash,
        address,
        this.now(),
      ]);
      return undefined;
    });
    if (wait === undefined) return;
    this.log.warn({ address }, 'sign-in is throttled');
    throw new Refused('too-many-attempts', 'Wait a while before you try to sign in again.', {
      retryAfterSeconds: wait,
    });
  }

  private secondsUntil(oldest: Date | null): number {
    if (oldest === null) return WINDOW_MINUTES * 60;
    const free = oldest.getTime() + WINDOW_MINUTES * 60_000;
    return Math.max(1, Math.ceil((free - this.clock.now().epochMilliseconds) / 1000));
  }

  private async find(email: string): Promise<Account | undefined> {
    return this.db.byCredential(email, async (tx) => {
      const [person] = await tx.query<Account[]>(
        'select id, tenant_id, name, roles, password_hash, disabled_at from person where email = $1',
        [email],
      );
      if (person === undefined) return undefined;
      await this.db.enter(tx, { tenant: person.tenant_id });
      const [tenant] = await tx.query<{ sample: boolean }[]>('select sample from tenant where id = $1', [
        person.tenant_id,
      ]);
      return { ...person, sample: tenant?.sample ?? true };
    });
  }

  /** The passwords of sample people are printed for everybody to read. */
  private isRefusedSample(account: Account): boolean {
    if (!account.sample || this.config.mode !== 'production') return false;
    this.log.warn('a sample sign-in was refused: this is production');
    return true;
  }

  private async open(account: Account, emailHash: Buffer, password: string): Promise<SignedIn> {
    const token = newToken('session');
    const now = this.clock.now();
    const expiresAt = now.add({ hours: this.config.lifetimes.sessionHours });
    const better = isBelowCost(account.password_hash) ? await hashPassword(password) : undefined;
    await this.db.inTenant({ tenant: account.tenant_id }, async (tx) => {
      await tx.insert(SessionRow, {
        tokenHash: token.hash,
        tenantId: account.tenant_id,
        personId: account.id,
        createdAt: now.toString(),
        lastSeenAt: now.toString(),
        expiresAt: expiresAt.toString(),
      });
      if (better !== undefined) {
        await tx.query('update person set password_hash = $2 where id = $1', [account.id, better]);
      }
      await this.forget(tx, account, emailHash);
    });
    const { id, tenant_id: tenant, name, roles } = account;
    return { token: token.text, expiresAt, person: { id, tenant, name, roles } };
  }

  /** After a good sign-in the account's failed tries and everybody's long past ones are of no use. */
  private async forget(tx: EntityManager, account: Account, emailHash: Buffer): Promise<void> {
    const dayAgo = this.clock.now().subtract({ hours: 24 }).toString();
    await tx.query('delete from sign_in_attempt where email_hash = $1 or at < $2', [emailHash, dayAgo]);
    await tx.query('delete from session where person_id = $1 and (expires_at < $2 or ended_at < $2)', [
      account.id,
      dayAgo,
    ]);
  }

  private now(): string {
    return this.clock.now().toString();
  }

  private idleLimit(): string {
    return this.clock.now().subtract({ minutes: this.config.lifetimes.sessionIdleMinutes }).toString();
  }
}
