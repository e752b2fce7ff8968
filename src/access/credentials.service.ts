import { Injectable } from '@nestjs/common';
import type { FastifyReply } from 'fastify';
import type { Role } from '../kernel/vocabulary.js';
import { Clock } from '../platform/clock.js';
import type { Config } from '../platform/config/config.js';
import { InjectConfig } from '../platform/config/inject-config.js';
import { Database } from '../platform/db/database.js';
import { Refused } from '../platform/http/problems.js';
import type { Actor } from './access.contract.js';
import { TOKEN_PREFIX, tokenHash, tokenKind } from './crypto/tokens.js';
import { giveCookie, takeCookie, VISIT_COOKIE } from './http/cookies.js';

/** What a presented secret turned out to be. */
export type Presented =
  | { readonly is: 'actor'; readonly actor: Actor }
  | { readonly is: 'expired link' }
  | { readonly is: 'unknown'; readonly link: boolean };

/** Seconds between two notes of when a session or key was last used: exact to the minute is enough and spares writes. */
const NOTE_EVERY_SECONDS = 60;

/** The longest that a visit link may last. */
export const LINK_HOURS_MAX = 720;

interface Found {
  readonly id: string;
  readonly tenant_id: string;
  readonly sample: boolean;
  readonly name: string;
  readonly expires_at: Date | null;
  readonly ended_at: Date | null;
  readonly used_at: Date | null;
}

interface FoundSession extends Found {
  readonly roles: Role[];
  readonly retailer_id: string | null;
  readonly disabled_at: Date | null;
}

interface FoundKey extends Found {
  readonly scopes: string[];
  readonly retailer_id: string | null;
}

interface FoundLink extends Found {
  readonly visit_id: string;
}

const SESSION = `
  select person.id, session.tenant_id, tenant.sample, person.name, session.expires_at, session.ended_at,
    session.last_seen_at used_at, person.roles, person.retailer_id, person.disabled_at
  from session
    join person on person.id = session.person_id
    join tenant on tenant.id = session.tenant_id
  where session.token_hash = :hash`;

const KEY = `
  select api_key.id, api_key.tenant_id, tenant.sample, api_key.name, api_key.expires_at, api_key.ended_at,
    api_key.last_used_at used_at, api_key.scopes, api_key.retailer_id
  from api_key join tenant on tenant.id = api_key.tenant_id
  where api_key.key_hash = :hash`;

const LINK = `
  select visit_link.id, visit_link.tenant_id, tenant.sample, visit_link.crew_name as name, visit_link.expires_at,
    visit_link.ended_at, null::timestamptz used_at, visit_link.visit_id
  from visit_link join tenant on tenant.id = visit_link.tenant_id
  where visit_link.token_hash = :hash`;

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
    const hash = tokenHash(text);
    switch (kind) {
      case 'session':
        return presented(await this.session(hash));
      case 'key':
        return presented(await this.key(hash));
      case 'link':
        return this.link(hash);
      case undefined:
        return { is: 'unknown', link: text.startsWith(TOKEN_PREFIX.link) };
    }
  }

  /**
   * Changes a visit link for a cookie on the phone.
   * @throws Refused `link-expired` or `link-unknown`
   */
  async openLink(token: string, reply: FastifyReply): Promise<Actor & { readonly visit: string }> {
    const found = await this.identify(token);
    if (found.is === 'expired link') throw new Refused('link-expired', 'Ask the office for a new link.');
    if (found.is !== 'actor' || found.actor.visit === undefined) {
      throw new Refused('link-unknown', 'Open the link from the message again, or ask the office for a new one.');
    }
    // The link itself says when it stops counting; the cookie only must not go before that.
    const ends = new Date(this.clock.now().add({ hours: LINK_HOURS_MAX }).epochMilliseconds);
    giveCookie(reply, this.config, { name: VISIT_COOKIE, value: token, ends });
    return { ...found.actor, visit: found.actor.visit };
  }

  /** Takes the crew's cookie back. */
  forgetLink(reply: FastifyReply): void {
    takeCookie(reply, this.config, VISIT_COOKIE);
  }

  private async session(hash: Buffer): Promise<Actor | undefined> {
    const found = await this.db.behind<FoundSession>(hash, { table: 'session', column: 'token_hash' }, SESSION);
    const idle = this.config.lifetimes.sessionIdleMinutes * 60;
    if (!this.counts(found) || found.disabled_at !== null || this.secondsSince(found.used_at) >= idle) return undefined;
    await this.noteUse(found, 'update session set last_seen_at = $2 where token_hash = $1', hash);
    return {
      kind: 'person',
      tenant: found.tenant_id,
      id: found.id,
      name: found.name,
      roles: found.roles,
      ...(found.retailer_id === null ? {} : { retailer: found.retailer_id }),
    };
  }

  private async key(hash: Buffer): Promise<Actor | undefined> {
    const found = await this.db.behind<FoundKey>(hash, { table: 'api_key', column: 'key_hash' }, KEY);
    if (!this.counts(found)) return undefined;
    await this.noteUse(found, 'update api_key set last_used_at = $2 where key_hash = $1', hash);
    return {
      kind: 'key',
      tenant: found.tenant_id,
      id: found.id,
      name: found.name,
      roles: found.retailer_id === null ? [] : ['retailer'],
      scopes: found.scopes,
      ...(found.retailer_id === null ? {} : { retailer: found.retailer_id }),
    };
  }

  private async link(hash: Buffer): Promise<Presented> {
    const found = await this.db.behind<FoundLink>(hash, { table: 'visit_link', column: 'token_hash' }, LINK);
    if (found === undefined || this.isRefusedSample(found)) return { is: 'unknown', link: true };
    if (!this.counts(found)) return { is: 'expired link' };
    const { id, tenant_id: tenant, name, visit_id: visit } = found;
    return presented({ kind: 'link', tenant, id, name, roles: ['crew'], visit });
  }

  /** Whether a secret is there, still lasts and may be used here. */
  private counts<T extends Found>(found: T | undefined): found is T {
    if (found === undefined || found.ended_at !== null || this.isRefusedSample(found)) return false;
    return found.expires_at === null || this.clock.now().epochMilliseconds < found.expires_at.getTime();
  }

  /** Sample tenants have published secrets, so production lets nobody in by them. */
  private isRefusedSample(found: Found): boolean {
    return found.sample && this.config.mode === 'production';
  }

  private async noteUse(found: Found, update: string, hash: Buffer): Promise<void> {
    if (this.secondsSince(found.used_at) < NOTE_EVERY_SECONDS) return;
    await this.db.inTenant({ tenant: found.tenant_id }, (tx) => tx.query(update, [hash, this.clock.now().toString()]));
  }

  private secondsSince(at: Date | null): number {
    return at === null ? Number.POSITIVE_INFINITY : (this.clock.now().epochMilliseconds - at.getTime()) / 1000;
  }
}

function presented(actor: Actor | undefined): Presented {
  return actor === undefined ? { is: 'unknown', link: false } : { is: 'actor', actor };
}
