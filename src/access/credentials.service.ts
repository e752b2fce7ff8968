import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Role } from '../kernel/vocabulary.js';
import { Clock } from '../platform/clock.js';
import type { Config } from '../platform/config/config.js';
import { InjectConfig } from '../platform/config/inject-config.js';
import { Database } from '../platform/db/database.js';
import type { Actor } from './access.contract.js';
import { tokenHash, tokenKind } from './crypto/tokens.js';

/** What a presented secret turned out to be. */
export type Presented =
  | { readonly is: 'actor'; readonly actor: Actor }
  | { readonly is: 'expired link' }
  | { readonly is: 'unknown'; readonly link: boolean };

/** Seconds between two notes of when a session or key was last used: exact to the minute is enough and spares writes. */
const NOTE_EVERY_SECONDS = 60;

interface Found {
  readonly id: string;
  readonly tenant_id: string;
  readonly expires_at: Date | null;
  readonly used_at: Date | null;
}

/** Finds out who stands behind a session token, an API key or a visit link. */
@Injectable()
export class CredentialsService {
  constructor(
    private readonly db: Database,
    private readonly clock: Clock,
    @InjectConfig() private readonly config: Config,
  ) {}

  /** @param text the secret as it was presented */
  async identify(text: string): Promise<Presented> {
    const kind = tokenKind(text);
    if (kind === undefined) return { is: 'unknown', link: false };
    const hash = tokenHash(text);
    return this.db.byCredential(hash.toString('hex'), async (tx) => {
      if (kind === 'link') return this.link(tx, hash);
      const actor = kind === 'session' ? await this.session(tx, hash) : await this.key(tx, hash);
      return actor === undefined ? { is: 'unknown', link: false } : { is: 'actor', actor };
    });
  }

  private async session(tx: EntityManager, hash: Buffer): Promise<Actor | undefined> {
    const found = await one<Found>(
      tx,
      `select person_id id, tenant_id, expires_at, last_seen_at used_at from session where token_hash = $1 and ended_at is null`,
      [hash],
    );
    const idle = this.config.lifetimes.sessionIdleMinutes * 60;
    if (found === undefined || this.isPast(found.expires_at) || this.secondsSince(found.used_at) >= idle)
      return undefined;
    await this.db.enter(tx, { tenant: found.tenant_id });
    const actor = await this.person(tx, found);
    if (actor !== undefined && this.secondsSince(found.used_at) >= NOTE_EVERY_SECONDS) {
      await tx.query('update session set last_seen_at = $2 where token_hash = $1', [hash, this.now()]);
    }
    return actor;
  }

  private async person(tx: EntityManager, found: Found): Promise<Actor | undefined> {
    const row = await one<{ name: string; roles: Role[]; retailer_id: string | null }>(
      tx,
      `select person.name, person.roles, person.retailer_id from person join tenant on tenant.id = person.tenant_id
       where person.id = $1 and person.disabled_at is null and not (tenant.sample and $2)`,
      [found.id, this.config.mode === 'production'],
    );
    if (row === undefined) return undefined;
    return {
      kind: 'person',
      tenant: found.tenant_id,
      id: found.id,
      name: row.name,
      roles: row.roles,
      ...(row.retailer_id === null ? {} : { retailer: row.retailer_id }),
    };
  }

  private async key(tx: EntityManager, hash: Buffer): Promise<Actor | undefined> {
    const found = await one<Found & { name: string; scopes: string[]; retailer_id: string | null }>(
      tx,
      `select id, tenant_id, expires_at, last_used_at used_at, name, scopes, retailer_id from api_key
       where key_hash = $1 and ended_at is null`,
      [hash],
    );
    if (found === undefined || this.isPast(found.expires_at)) return undefined;
    await this.db.enter(tx, { tenant: found.tenant_id });
    if (!(await this.tenantCounts(tx, found.tenant_id))) return undefined;
    if (this.secondsSince(found.used_at) >= NOTE_EVERY_SECONDS) {
      await tx.query('update api_key set last_used_at = $2 where id = $1', [found.id, this.now()]);
    }
    const { id, name, scopes } = found;
    return {
      kind: 'key',
      tenant: found.tenant_id,
      id,
      name,
      roles: found.retailer_id === null ? [] : ['retailer'],
      scopes,
      ...(found.retailer_id === null ? {} : { retailer: found.retailer_id }),
    };
  }

  private async link(tx: EntityManager, hash: Buffer): Promise<Presented> {
    const found = await one<Found & { visit_id: string; crew_name: string; ended_at: Date | null }>(
      tx,
      `select id, tenant_id, expires_at, null used_at, visit_id, crew_name, ended_at from visit_link where token_hash = $1`,
      [hash],
    );
    if (found === undefined) return { is: 'unknown', link: true };
    if (found.ended_at !== null || this.isPast(found.expires_at)) return { is: 'expired link' };
    await this.db.enter(tx, { tenant: found.tenant_id });
    if (!(await this.tenantCounts(tx, found.tenant_id))) return { is: 'unknown', link: true };
    const actor: Actor = {
      kind: 'link',
      tenant: found.tenant_id,
      id: found.id,
      name: found.crew_name,
      roles: ['crew'],
      visit: found.visit_id,
    };
    return { is: 'actor', actor };
  }

  /** Sample tenants have published secrets, so production lets nobody in by them. */
  private async tenantCounts(tx: EntityManager, tenant: string): Promise<boolean> {
    if (this.config.mode !== 'production') return true;
    return (await one(tx, 'select 1 from tenant where id = $1 and not sample', [tenant])) !== undefined;
  }

  private now(): string {
    return this.clock.now().toString();
  }

  private isPast(at: Date | null): boolean {
    return at !== null && this.clock.now().epochMilliseconds >= at.getTime();
  }

  private secondsSince(at: Date | null): number {
    return at === null ? Number.POSITIVE_INFINITY : (this.clock.now().epochMilliseconds - at.getTime()) / 1000;
  }
}

async function one<T>(tx: EntityManager, sql: string, parameters: readonly unknown[]): Promise<T | undefined> {
  const rows = await tx.query<T[]>(sql, [...parameters]);
  return rows[0];
}
