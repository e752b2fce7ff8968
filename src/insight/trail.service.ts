import { Injectable } from '@nestjs/common';
import { may, type Act, type Actor } from '../access/access.contract.js';
import { demand } from '../access/access.service.js';
import { linkFault, verifyChain } from '../claims/claims.contract.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { PAGE_SIZE_MAX, pageOf, pageSize, readCursor, type Page, type PageQuery } from '../platform/http/pages.js';
import { TrailReadModel } from './store/trail.read-model.js';
import type { ChainsChecked, TrailEntry, TrailFilter, TrailSource } from './trail.contract.js';

/** What somebody must be allowed to read of each history. */
const SEEN_BY: Readonly<Record<TrailSource, Act>> = {
  claims: 'claim.verify',
  recoveries: 'recovery.read',
  policies: 'policy.read',
  'people and keys': 'people.manage',
};

/** Chains walked in one request: enough to be quick, few enough to keep memory flat. */
const CHAINS_AT_ONCE = 250;
const BEFORE_ALL = '00000000-0000-0000-0000-000000000000';

/** Who did what in a house. */
@Injectable()
export class TrailService {
  constructor(
    private readonly db: Database,
    private readonly reading: TrailReadModel,
  ) {}

  /** One page, the newest first. Histories that are not the actor's to read are left out. */
  async list(actor: Actor, filter: TrailFilter, query: PageQuery): Promise<Page<TrailEntry>> {
    const size = pageSize(query);
    const after = readCursor(query, 'iun');
    const sources = filter.sources.filter((source) => may(actor, SEEN_BY[source]));
    const rows = await this.db.inTenant(scopeOf(actor), (tx) =>
      this.reading.page(tx, actor.tenant, { ...filter, sources }, { after, limit: size + 1 }),
    );
    return pageOf(
      rows,
      size,
      ({ place, about, n }) => [place, about, n],
      ({ place: _place, ...entry }) => entry,
    );
  }

  /** The same without end, a page at a time. */
  async *pages(actor: Actor, filter: TrailFilter): AsyncGenerator<readonly TrailEntry[], void, undefined> {
    let cursor: string | undefined;
    do {
      const page = await this.list(actor, filter, {
        limit: PAGE_SIZE_MAX,
        ...(cursor === undefined ? {} : { cursor }),
      });
      yield page.items;
      cursor = page.next;
    } while (cursor !== undefined);
  }

  /**
   * Walks the chains of the next claims and of their recoveries, and names each that is not as it was written.
   * @param after uuid of the last claim of the part before; absent: the first part
   */
  async verify(actor: Actor, after: string = BEFORE_ALL): Promise<ChainsChecked> {
    demand(actor, 'claim.verify', { tenant: actor.tenant });
    const { chains, recoveries } = await this.db.inTenant(scopeOf(actor), async (tx) => {
      const read = await this.reading.chains(tx, actor.tenant, after, CHAINS_AT_ONCE);
      const ids = read.map(({ id }) => id);
      return { chains: read, recoveries: await this.reading.recoveryChains(tx, actor.tenant, ids) };
    });
    const faults = chains.flatMap(({ id, number, events }) => {
      const fault =
        events.length === 0 ? { claim: id, n: 1, detail: 'the claim has no events at all' } : verifyChain(id, events);
      return fault === undefined ? [] : [{ ...fault, number }];
    });
    const numbers = new Map(chains.map(({ id, number }) => [id, number]));
    const ofRecoveries = recoveries.flatMap(({ claim, party, events }) => {
      const fault = events.length === 0 ? { n: 1, detail: 'it has no events at all' } : linkFault(events);
      if (fault === undefined) return [];
      const detail = `in the recovery from ${party}, ${fault.detail}`;
      return [{ claim, number: numbers.get(claim) ?? null, n: fault.n, detail }];
    });
    const last = chains.at(-1)?.id;
    return {
      claims: chains.length,
      events: [...chains, ...recoveries].reduce((sum, { events }) => sum + events.length, 0),
      faults: [...faults, ...ofRecoveries],
      ...(chains.length === CHAINS_AT_ONCE && last !== undefined ? { next: last } : {}),
    };
  }
}
