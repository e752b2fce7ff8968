import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { Invalid, Refused } from '../platform/http/problems.js';
import type { Actor } from './access.contract.js';
import { demand } from './access.service.js';

export const ADDRESS_KINDS = ['goods', 'letters'] as const;
export type AddressKind = (typeof ADDRESS_KINDS)[number];

/** Most characters of an address, and most lines of it. */
export const ADDRESS_LONGEST = 500;
export const ADDRESS_LINES = 8;

/** An address as it counted from a moment on. */
export interface KeptAddress {
  readonly kind: AddressKind;
  /** Lines, one below the other, parted by a line feed. */
  readonly lines: string;
  readonly changedBy: string;
  /** RFC 3339 */
  readonly changedAt: string;
}

/** A retailer as its own people see it. */
export interface OwnCompany {
  readonly name: string;
  readonly code: string;
  /** The business that delivers for it and decides its claims. */
  readonly house: string;
  readonly people: readonly {
    readonly id: string;
    readonly name: string;
    readonly email: string;
    readonly since: string;
    readonly shutOut: boolean;
  }[];
  /** Names of those of the house who let people in and shut them out. */
  readonly administrators: readonly string[];
  /** Every address that counts or counted, the newest first; at most 40. */
  readonly addresses: readonly KeptAddress[];
}

/** What a retailer's people see and keep of their own company. */
@Injectable()
export class OwnCompanyService {
  constructor(
    private readonly db: Database,
    private readonly clock: Clock,
  ) {}

  /** @throws Refused `not-allowed` for anybody who is not of a retailer */
  read(actor: Actor): Promise<OwnCompany> {
    const retailer = companyOf(actor);
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const own = [actor.tenant, retailer];
      const [company] = await tx.query<Pick<OwnCompany, 'name' | 'code' | 'house'>[]>(
        `select r.name, r.code, t.name as house from retailer r join tenant t on t.id = r.tenant_id
         where r.tenant_id = $1 and r.id = $2`,
        own,
      );
      if (company === undefined) throw new Refused('not-found', 'There is no such company.');
      const people = await tx.query<(OwnCompany['people'][number] & { readonly since: Date | string })[]>(
        `select id, name, email, created_at as since, disabled_at is not null as "shutOut" from person
         where tenant_id = $1 and retailer_id = $2 order by disabled_at is not null, name, id limit 500`,
        own,
      );
      const administrators = await tx.query<{ name: string }[]>(
        `select name from person where tenant_id = $1 and 'administrator' = any (roles) and disabled_at is null
         order by name, id limit 20`,
        [actor.tenant],
      );
      return {
        ...company,
        people: people.map((person) => ({ ...person, since: instant(person.since) })),
        administrators: administrators.map(({ name }) => name),
        addresses: await addresses(tx, own),
      };
    });
  }

  /**
   * The name of the house, and where the retailer wanted letters to go at a moment.
   * @param at RFC 3339
   */
  letterhead(
    actor: Actor,
    retailer: string,
    at: string,
  ): Promise<{ readonly house: string; readonly address: string | undefined }> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const [house] = await tx.query<{ name: string }[]>('select name from tenant where id = $1', [actor.tenant]);
      const [address] = await tx.query<{ lines: string }[]>(
        `select lines from retailer_address where tenant_id = $1 and retailer_id = $2 and kind = 'letters' and changed_at <= $3
         order by changed_at desc, id desc limit 1`,
        [actor.tenant, retailer, at],
      );
      return { house: house?.name ?? '', address: address?.lines };
    });
  }

  /**
   * Says where goods or letters go from now on. The address before it stays on record; saying the same again changes nothing.
   * @throws Invalid for an address that is empty or too long; Refused `not-allowed`
   */
  async changeAddress(actor: Actor, kind: AddressKind, text: string): Promise<void> {
    const retailer = companyOf(actor);
    const lines = addressLines(text);
    await this.db.inTenant(scopeOf(actor), async (tx) => {
      const own = [actor.tenant, retailer];
      // One change of a company's address at a time, so that of two the later one counts.
      await tx.query(`select pg_advisory_xact_lock(hashtextextended($1, 0))`, [`address ${retailer}`]);
      const known = (await addresses(tx, own)).find((address) => address.kind === kind);
      if (known?.lines === lines) return;
      await tx.query(
        `insert into retailer_address (tenant_id, retailer_id, kind, lines, changed_by, changed_at)
         values ($1, $2, $3, $4, $5, $6)`,
        [...own, kind, lines, actor.name, this.clock.now().toString()],
      );
    });
  }
}

function companyOf(actor: Actor): string {
  const { tenant, retailer } = actor;
  demand(actor, 'own-company.manage', { tenant, retailer });
  if (retailer === undefined) throw new Refused('not-allowed', 'This is for the people of a retailer.');
  return retailer;
}

function addressLines(text: string): string {
  const lines = text
    .split('\n')
    .map((line) => line.trim())
    .filter((line) => line !== '');
  if (lines.length === 0) throw wrong('The address is empty. Write it as it stands on a parcel.');
  if (lines.length > ADDRESS_LINES) throw wrong(`The address has ${lines.length} lines; put it on ${ADDRESS_LINES}.`);
  const whole = lines.join('\n');
  if (whole.length > ADDRESS_LONGEST)
    throw wrong(`The address has ${whole.length} characters; shorten it to ${ADDRESS_LONGEST}.`);
  return whole;
}

function wrong(detail: string): Invalid {
  return new Invalid([{ pointer: '#/lines', detail }]);
}

async function addresses(tx: EntityManager, own: readonly string[]): Promise<KeptAddress[]> {
  const rows = await tx.query<(KeptAddress & { readonly changedAt: Date | string })[]>(
    `select kind, lines, changed_by as "changedBy", changed_at as "changedAt" from retailer_address
     where tenant_id = $1 and retailer_id = $2 order by changed_at desc, id desc limit 40`,
    [...own],
  );
  return rows.map((row) => ({ ...row, changedAt: instant(row.changedAt) }));
}

function instant(at: Date | string): string {
  return at instanceof Date ? at.toISOString() : at;
}
