import { Injectable } from '@nestjs/common';
import { IsNull, type EntityManager } from 'typeorm';
import type { Fault } from '../kernel/outcome.js';
import type { Role } from '../kernel/vocabulary.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { onConstraint } from '../platform/db/database-errors.js';
import { pageOf, pageSize, readCursor, type Page, type PageQuery } from '../platform/http/pages.js';
import { Invalid, Refused } from '../platform/http/problems.js';
import type { Actor } from './access.contract.js';
import { hashPassword, verifyPassword } from './crypto/password-hash.js';
import { passwordFault } from './domain/password-rules.js';
import { roleFaults } from './domain/roles.js';
import { AccessEventStore } from './store/access-event.store.js';
import { PersonRow } from './store/access.entities.js';

export interface NewPerson {
  readonly name: string;
  readonly email: string;
  readonly password: string;
  readonly roles: readonly Role[];
  /** uuid; exactly for the role retailer */
  readonly retailer?: string | undefined;
}

/** The people of a tenant, kept by its administrators. */
@Injectable()
export class PeopleService {
  constructor(
    private readonly db: Database,
    private readonly clock: Clock,
    private readonly trail: AccessEventStore,
  ) {}

  /** One page of people in order of their names. */
  async list(actor: Actor, query: PageQuery): Promise<Page<PersonRow>> {
    const size = pageSize(query);
    const after = readCursor(query, 'tu');
    const rows = await this.db.inTenant({ tenant: actor.tenant }, (tx) => {
      const select = tx.createQueryBuilder(PersonRow, 'person').orderBy('person.name').addOrderBy('person.id');
      if (after !== undefined)
        select.where('(person.name, person.id) > (:name, :id)', { name: after[0], id: after[1] });
      return select.limit(size + 1).getMany();
    });
    return pageOf(
      rows,
      size,
      (row) => [row.name, row.id],
      (row) => row,
    );
  }

  /** @throws Refused `not-found` */
  async read(actor: Actor, id: string): Promise<PersonRow> {
    return this.db.inTenant({ tenant: actor.tenant }, (tx) => find(tx, id));
  }

  /** Names of the people of the house by id, also of those who have been shut out; people of retailers are not among them. */
  async staffNames(actor: Actor): Promise<Readonly<Record<string, string>>> {
    const rows = await this.db.inTenant({ tenant: actor.tenant }, (tx) =>
      tx.find(PersonRow, { select: { id: true, name: true }, where: { retailerId: IsNull() } }),
    );
    return Object.fromEntries(rows.map(({ id, name }) => [id, name]));
  }

  /** @throws Invalid for roles and retailer that do not fit, `password-too-weak`; Refused `email-taken` */
  async add(actor: Actor, person: NewPerson): Promise<PersonRow> {
    const row = await prepare(person);
    return this.db.inTenant({ tenant: actor.tenant }, async (tx) => {
      const added = await insertPerson(tx, actor.tenant, row);
      await this.trail.note(tx, actor, 'person-added', { ...about(added), roles: added.roles });
      return added;
    });
  }

  /** Changes name or roles. A person keeps the side they are on: roles of a retailer's person stay as they are. */
  async change(
    actor: Actor,
    id: string,
    change: { readonly name?: string | undefined; readonly roles?: readonly Role[] | undefined },
  ): Promise<PersonRow> {
    return this.db.inTenant({ tenant: actor.tenant }, async (tx) => {
      const person = await find(tx, id);
      const roles = change.roles ?? person.roles;
      refuseFaults(roleFaults(roles, person.retailerId ?? undefined));
      if (id === actor.id && !roles.includes('administrator')) throw lastDoor();
      const next = { name: change.name ?? person.name, roles: [...roles] };
      await tx.update(PersonRow, { id }, next);
      const before = { name: person.name, roles: person.roles };
      await this.trail.note(tx, actor, 'person-changed', { person: id, ...next, before });
      return Object.assign(person, next);
    });
  }

  /** Shuts a person out at once, with all sessions. Doing it again changes nothing. */
  async disable(actor: Actor, id: string): Promise<PersonRow> {
    if (id === actor.id) throw lastDoor();
    return this.db.inTenant({ tenant: actor.tenant }, async (tx) => {
      const person = await find(tx, id);
      const disabledAt = person.disabledAt ?? this.clock.now().toString();
      await tx.update(PersonRow, { id }, { disabledAt });
      await endSessions(tx, id, this.clock.now());
      if (person.disabledAt === null) await this.trail.note(tx, actor, 'person-shut-out', about(person));
      return Object.assign(person, { disabledAt });
    });
  }

  /** Lets a person in again. */
  async enable(actor: Actor, id: string): Promise<PersonRow> {
    return this.db.inTenant({ tenant: actor.tenant }, async (tx) => {
      const person = await find(tx, id);
      await tx.update(PersonRow, { id }, { disabledAt: null });
      if (person.disabledAt !== null) await this.trail.note(tx, actor, 'person-let-in', about(person));
      return Object.assign(person, { disabledAt: null });
    });
  }

  /**
   * Gives somebody a new first password, for whoever has forgotten theirs. All their sessions end. One's own is changed otherwise, with the
   * present one.
   * @throws Refused `not-found`, `not-allowed` for one's own; Invalid `password-too-weak`
   */
  async setPassword(actor: Actor, id: string, password: string): Promise<void> {
    if (id === actor.id) throw new Refused('not-allowed', 'Change your own password with the present one.');
    const person = await this.read(actor, id);
    refuseWeak('#/password', password, person);
    const passwordHash = await hashPassword(password);
    await this.db.inTenant({ tenant: actor.tenant }, async (tx) => {
      await tx.update(PersonRow, { id }, { passwordHash });
      await endSessions(tx, id, this.clock.now());
      await this.trail.note(tx, actor, 'password-set', about(person));
    });
  }

  /**
   * Changes one's own password and ends all other sessions.
   * @param keep hash of the session that goes on
   * @throws Refused `sign-in-refused` when the present password is wrong; Invalid `password-too-weak`
   */
  async changeOwnPassword(
    actor: Actor,
    change: { readonly present: string; readonly next: string; readonly keep?: Buffer | undefined },
  ): Promise<void> {
    const person = await this.read(actor, actor.id);
    if (!(await verifyPassword(change.present, person.passwordHash))) {
      throw new Refused('sign-in-refused', 'The present password is not right.');
    }
    refuseWeak('#/next', change.next, person);
    const passwordHash = await hashPassword(change.next);
    await this.db.inTenant({ tenant: actor.tenant }, async (tx) => {
      await tx.update(PersonRow, { id: actor.id }, { passwordHash });
      await endSessions(tx, actor.id, this.clock.now(), change.keep);
    });
  }
}

/** Checks a new person and hashes the password, before any transaction is open. */
export async function prepare(
  person: NewPerson,
): Promise<Omit<PersonRow, 'id' | 'tenantId' | 'createdAt' | 'disabledAt'>> {
  refuseFaults(roleFaults(person.roles, person.retailer));
  refuseWeak('#/password', person.password, person);
  return {
    name: person.name,
    email: person.email.trim().toLowerCase(),
    passwordHash: await hashPassword(person.password),
    roles: [...person.roles],
    retailerId: person.retailer ?? null,
  };
}

/** @throws Refused `email-taken`, `not-found` for a retailer of somebody else */
export async function insertPerson(
  tx: EntityManager,
  tenant: string,
  row: Awaited<ReturnType<typeof prepare>> & { readonly id?: string },
): Promise<PersonRow> {
  const inserted = await onConstraint(tx.insert(PersonRow, { ...row, tenantId: tenant }), {
    person_email_key: () =>
      new Refused('email-taken', 'Use another address, or let the person in again that has this one.'),
    person_tenant_id_retailer_id_fkey: () =>
      new Invalid([{ pointer: '#/retailer', detail: 'There is no such retailer.' }]),
  });
  return find(tx, String(inserted.identifiers[0]?.['id']));
}

async function find(tx: EntityManager, id: string): Promise<PersonRow> {
  const [person] = await tx.find(PersonRow, { where: { id } });
  if (person === undefined) throw new Refused('not-found', 'There is no such person.');
  return person;
}

function about({ id, name }: PersonRow): { readonly person: string; readonly name: string } {
  return { person: id, name };
}

async function endSessions(tx: EntityManager, person: string, at: Temporal.Instant, keep?: Buffer): Promise<void> {
  await tx.query(
    'update session set ended_at = $2 where person_id = $1 and ended_at is null and ($3::bytea is null or token_hash <> $3)',
    [person, at.toString(), keep ?? null],
  );
}

function refuseFaults(faults: readonly Fault[]): void {
  if (faults.length > 0) throw new Invalid(faults);
}

function refuseWeak(pointer: string, password: string, about: { readonly name: string; readonly email: string }): void {
  const fault = passwordFault(password, [about.name, about.email]);
  if (fault !== undefined) throw new Invalid([{ pointer, detail: fault }], 'password-too-weak');
}

function lastDoor(): Refused {
  return new Refused('not-allowed', 'Nobody takes their own way in. Ask another administrator.');
}
