import { randomUUID } from 'node:crypto';
import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import type { VersionAddress } from '../platform/documents/document-lifecycle.js';
import { scopeOf } from '../platform/http/caller.js';
import { PAGE_SIZE_MAX, pageOf, pageSize, readCursor, type Page, type PageQuery } from '../platform/http/pages.js';
import { Invalid, Refused } from '../platform/http/problems.js';
import { Jobs } from '../platform/jobs/jobs.js';
import {
  REHEARSE_POLICY,
  type ChangeKind,
  type ChangeOrder,
  type RehearsalChange,
  type RehearsalResult,
  type RehearsalWish,
} from './rehearsals.contract.js';
import { PolicyVersionStore } from './store/policy-version.store.js';
import { RehearsalStore, type RehearsalRow, type RehearsedChange } from './store/rehearsal.store.js';

/** Rehearsals of versions on past claims: asked for, watched, read, cancelled. The claims module does them. */
@Injectable()
export class RehearsalsService {
  constructor(
    private readonly db: Database,
    private readonly clock: Clock,
    private readonly jobs: Jobs,
    private readonly versions: PolicyVersionStore,
    private readonly store: RehearsalStore,
  ) {}

  /** Starts a rehearsal of a version as it is written now. @throws Refused `not-found`; Invalid */
  async start(actor: Actor, address: VersionAddress, wish: RehearsalWish): Promise<RehearsalRow> {
    if (wish.from !== undefined && wish.to !== undefined && Temporal.Instant.compare(wish.from, wish.to) >= 0) {
      throw new Invalid([{ pointer: '#/to', detail: 'It must be later than `from`.' }]);
    }
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = await this.versions.find(tx, { ...address, tenant: actor.tenant });
      if (row === null) throw new Refused('not-found', `There is no version ${address.version} of that policy.`);
      if (wish.against !== undefined) {
        const other = await this.versions.find(tx, { ...address, version: wish.against, tenant: actor.tenant });
        const detail = `There is no version ${wish.against} of this policy to compare with.`;
        if (other === null) throw new Invalid([{ pointer: '#/against', detail }]);
      }
      const id = randomUUID();
      const { code, version, hash, body: document, jurisdiction } = row;
      const asked = { askedBy: actor.id, askedAt: this.clock.now().toString() };
      const of = { tenantId: actor.tenant, policyVersionId: row.id, code, version, hash, jurisdiction };
      await this.store.insert(tx, { id, ...of, document, wish, ...asked });
      await this.jobs.enqueue(tx, REHEARSE_POLICY, { tenant: actor.tenant, rehearsal: id }, { once: id });
      return this.demand(await this.store.find(tx, actor.tenant, id));
    });
  }

  /** @throws Refused `not-found` */
  async read(actor: Actor, id: string): Promise<RehearsalRow> {
    return this.db.inTenant(scopeOf(actor), async (tx) => this.demand(await this.store.find(tx, actor.tenant, id)));
  }

  /** The rehearsals of a policy, newest first. */
  async list(actor: Actor, code: string, query: PageQuery): Promise<Page<RehearsalRow>> {
    const size = pageSize(query);
    const key = readCursor(query, 'iu');
    const after = key && { askedAt: String(key[0]), id: String(key[1]) };
    const of = { tenant: actor.tenant, code };
    const rows = await this.db.inTenant(scopeOf(actor), (tx) => this.store.page(tx, of, after, size + 1));
    return pageOf(
      rows,
      size,
      (row) => [row.askedAt, row.id],
      (row) => row,
    );
  }

  /** Claims that come out otherwise, those first whose customer's money changes most unless told otherwise. @throws Refused `not-found` */
  async changes(
    actor: Actor,
    id: string,
    query: PageQuery & { readonly kind?: ChangeKind; readonly order?: ChangeOrder },
  ): Promise<Page<RehearsalChange>> {
    const size = pageSize(query);
    const { order = 'money' } = query;
    const key = readCursor(query, order === 'number' ? 'tu' : 'nu');
    const after = key && { place: key[0] ?? '', record: String(key[1]) };
    const rows = await this.db.inTenant(scopeOf(actor), async (tx) => {
      this.demand(await this.store.find(tx, actor.tenant, id));
      const of = { tenant: actor.tenant, rehearsal: id, kind: query.kind };
      return this.store.changes(tx, of, { order, after, limit: size + 1 });
    });
    return pageOf(
      rows,
      size,
      (row) => [row.place, row.record],
      ({ place: _place, ...change }) => change,
    );
  }

  /** Every claim that comes out otherwise, a page at a time and each page in a transaction of its own. @throws Refused `not-found` */
  async *allChanges(actor: Actor, id: string): AsyncGenerator<readonly RehearsalChange[], void, undefined> {
    let cursor: string | undefined;
    do {
      const page = await this.changes(actor, id, { limit: PAGE_SIZE_MAX, ...(cursor === undefined ? {} : { cursor }) });
      yield page.items;
      cursor = page.next;
    } while (cursor !== undefined);
  }

  /** A claim that comes out otherwise and the documents that make the difference. @throws Refused `not-found` */
  async changed(
    tx: EntityManager,
    actor: Actor,
    of: { readonly rehearsal: string; readonly record: string },
  ): Promise<RehearsedChange & { readonly row: RehearsalRow }> {
    const row = this.demand(await this.store.find(tx, actor.tenant, of.rehearsal));
    const changed = await this.store.changed(tx, { tenant: actor.tenant, ...of });
    if (changed === null) throw new Refused('not-found', 'No claim of this rehearsal comes out otherwise by that id.');
    return { ...changed, row };
  }

  /** Stops a rehearsal. What it has found so far stays unread. @throws Refused `not-found`, `rehearsal-ended` */
  async cancel(actor: Actor, id: string): Promise<RehearsalRow> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = this.demand(await this.store.find(tx, actor.tenant, id));
      const ended = await this.store.end(tx, row, { state: 'cancelled', at: this.clock.now().toString() });
      if (!ended) throw new Refused('rehearsal-ended', `It is ${row.state}.`);
      return this.demand(await this.store.find(tx, actor.tenant, id));
    });
  }

  /** Ends a rehearsal that cannot be done, saying why. */
  async fail(tenant: string, id: string, problem: string): Promise<void> {
    const end = { state: 'failed', at: this.clock.now().toString(), problem } as const;
    await this.db.inTenant({ tenant }, (tx) => this.store.end(tx, { tenantId: tenant, id }, end));
  }

  /** Writes down what a rehearsal found. Does nothing where it has ended. @param result made with what readers must know */
  async finish(
    tx: EntityManager,
    of: { readonly tenant: string; readonly rehearsal: string },
    result: (cautions: readonly string[]) => RehearsalResult,
  ): Promise<void> {
    const row = await this.store.find(tx, of.tenant, of.rehearsal);
    if (row === null) return;
    const { oneIn = 1, on } = row.wish;
    const cautions = [
      'Findings stand as they were diagnosed at the time; only what the policy and the arithmetic make of them is worked out anew.',
      ...(oneIn > 1 ? [`One claim in ${oneIn} was looked at, so counts and sums are those of the sample.`] : []),
      ...(on === undefined ? [] : [`Dated parameters are those of ${on}, not of the day of each claim.`]),
    ];
    await this.store.finish(tx, row, { result: result(cautions), at: this.clock.now().toString() });
  }

  private demand(row: RehearsalRow | null): RehearsalRow {
    if (row === null) throw new Refused('not-found', 'There is no rehearsal with this id.');
    return row;
  }
}
