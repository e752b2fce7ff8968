import { randomUUID } from 'node:crypto';
import { Injectable } from '@nestjs/common';
import type { Actor } from '../access/access.contract.js';
import { standsAt } from '../claims/claims.contract.js';
import { ClaimsService } from '../claims/claims.service.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { scopeOf } from '../platform/http/caller.js';
import { PAGE_SIZE_MAX } from '../platform/http/pages.js';
import { Invalid, Refused } from '../platform/http/problems.js';
import { InjectLog } from '../platform/telemetry/inject-log.js';
import type { Log } from '../platform/telemetry/log.js';
import { csvHead, csvLine, jsonLine, type ExportedLine } from './domain/claims-export.js';
import { nextTick, wishAt, wishFilter, type Every, type ExportWish } from './domain/export-wish.js';
import { outcomeOf } from './domain/state-marks.js';
import {
  ClaimExportStore,
  type ExportOwner,
  type ExportSchedule,
  type PastExport,
} from './store/claim-export.store.js';

/** What the job shows to look across tenants; the wall around export_schedule knows it. No e-mail address and no hash reads like this. */
const WATCH_CREDENTIAL = 'watch:exports';
const BATCH = 100;
/** More schedules than this help nobody. */
const MOST_SCHEDULES = 10;
/** Files kept of one schedule, and lines kept about files that were only passed on. */
const KEPT_FILES = 26;
const KEPT_LINES = 200;
/** Most bytes of a file that is kept. About a hundred thousand claims. */
const MOST_BYTES = 20_000_000;

/** The files of claims that retailers take, or have made by the week or the month. */
@Injectable()
export class RetailerExportsService {
  constructor(
    private readonly db: Database,
    private readonly store: ClaimExportStore,
    private readonly claims: ClaimsService,
    private readonly clock: Clock,
    @InjectLog() private readonly log: Log,
  ) {}

  /** Oldest first, a page at a time, each claim once, also when claims change meanwhile. */
  async *lines(actor: Actor, wish: ExportWish): AsyncGenerator<readonly ExportedLine[], void, undefined> {
    const filter = wishFilter(wish);
    let cursor: string | undefined;
    do {
      const query = { limit: PAGE_SIZE_MAX, ...(cursor === undefined ? {} : { cursor }) };
      const page = await this.claims.list(actor, filter, query);
      yield page.items.map((line) => ({
        ...line,
        next: standsAt(line.state, outcomeOf(line.outcome), line.promisedAt, null).next,
      }));
      cursor = page.next;
    } while (cursor !== undefined);
  }

  /** Writes down that somebody takes a file now. */
  async noteTaken(actor: Actor, wish: ExportWish): Promise<void> {
    const owner = ownerOf(actor);
    await this.db.inTenant(scopeOf(actor), async (tx) => {
      const made = { id: randomUUID(), wish, madeBy: actor.name, madeAt: this.clock.now().toString() };
      await this.store.add(tx, owner, made);
      await this.store.forgetOld(tx, owner, null, KEPT_LINES);
    });
  }

  /** What was taken and made, and what is made by itself. */
  read(actor: Actor): Promise<{ readonly past: readonly PastExport[]; readonly schedules: readonly ExportSchedule[] }> {
    const owner = ownerOf(actor);
    return this.db.inTenant(scopeOf(actor), async (tx) => ({
      past: await this.store.past(tx, owner),
      schedules: await this.store.schedules(tx, owner),
    }));
  }

  /** A file that is kept. @throws Refused not-found */
  async file(actor: Actor, id: string): Promise<NonNullable<Awaited<ReturnType<ClaimExportStore['file']>>>> {
    const found = await this.db.inTenant(scopeOf(actor), (tx) => this.store.file(tx, ownerOf(actor), id));
    if (found === undefined) throw new Refused('not-found', 'There is no such file, or it was kept long enough.');
    return found;
  }

  /** Has a file made by the week or the month. @throws Invalid where there are too many already */
  async schedule(actor: Actor, every: Every, wish: ExportWish): Promise<ExportSchedule> {
    const owner = ownerOf(actor);
    const now = this.clock.now();
    const made = { id: randomUUID(), every, wish, madeBy: actor.name, nextAt: nextTick(every, now).toString() };
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      if ((await this.store.schedules(tx, owner)).length >= MOST_SCHEDULES) {
        const detail = `${MOST_SCHEDULES} files are made by themselves already. End one of them first.`;
        throw new Invalid([{ pointer: '#/every', detail }]);
      }
      await this.store.addSchedule(tx, owner, made, now.toString());
      return made;
    });
  }

  /** No further file is made; those that were stay. @throws Refused not-found */
  async endSchedule(actor: Actor, id: string): Promise<void> {
    const at = this.clock.now().toString();
    const known = await this.db.inTenant(scopeOf(actor), (tx) => this.store.endSchedule(tx, ownerOf(actor), id, at));
    if (!known) throw new Refused('not-found', 'There is no such schedule.');
  }

  /** Makes every file that is due, of any tenant. One that fails keeps none waiting. @returns how many were made */
  async makeDue(): Promise<number> {
    const at = this.clock.now().toString();
    const due = await this.db.byCredential(WATCH_CREDENTIAL, (tx) => this.store.due(tx, at, BATCH));
    let made = 0;
    for (const { id, tenant, retailer } of due) {
      try {
        if (await this.make({ tenant, retailer }, id, at)) made += 1;
      } catch (error) {
        this.log.error({ err: error, schedule: id }, 'a file of claims could not be made');
      }
    }
    return made;
  }

  /** One file, its line in the list and the next date, together or not at all. */
  private make(owner: ExportOwner, id: string, at: string): Promise<boolean> {
    const actor: Actor = { kind: 'service', id: 'claim-exports', name: 'As Noted', roles: [], ...owner };
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const schedule = await this.store.take(tx, owner, id, at);
      if (schedule === undefined) return false;
      const tick = Temporal.Instant.from(schedule.nextAt);
      const wish = wishAt(schedule.wish, schedule.every, tick);
      const made = { id: randomUUID(), wish, madeBy: schedule.madeBy, madeAt: at, schedule: id };
      await this.store.add(tx, owner, { ...made, ...(await this.content(actor, wish)) });
      await this.store.moveOn(tx, owner, id, nextTick(schedule.every, tick).toString());
      await this.store.forgetOld(tx, owner, id, KEPT_FILES);
      return true;
    });
  }

  private async content(
    actor: Actor,
    wish: ExportWish,
  ): Promise<{ readonly claims: number; readonly content: Buffer } | { readonly failure: string }> {
    const parts: Buffer[] = [];
    let [claims, bytes] = [0, 0];
    for await (const part of fileOf(
      wish,
      counted(this.lines(actor, wish), (n) => (claims += n)),
    )) {
      const chunk = Buffer.from(part);
      bytes += chunk.length;
      if (bytes > MOST_BYTES) {
        return { failure: 'The file would have grown too large to be kept. Choose fewer columns or fewer claims.' };
      }
      parts.push(chunk);
    }
    return { claims, content: Buffer.concat(parts) };
  }
}

/** A file, piece by piece. */
export async function* fileOf(
  { format, columns }: ExportWish,
  pages: AsyncIterable<readonly ExportedLine[]>,
): AsyncGenerator<string, void, undefined> {
  if (format === 'csv') {
    yield csvHead(columns);
    for await (const lines of pages) yield lines.map((line) => csvLine(line, columns)).join('');
    return;
  }
  let before = '[\n';
  for await (const lines of pages) {
    if (lines.length === 0) continue;
    yield before + lines.map((line) => jsonLine(line, columns)).join(',\n');
    before = ',\n';
  }
  yield before === '[\n' ? '[]\n' : '\n]\n';
}

async function* counted<T>(
  pages: AsyncIterable<readonly T[]>,
  count: (n: number) => void,
): AsyncGenerator<readonly T[], void, undefined> {
  for await (const page of pages) {
    count(page.length);
    yield page;
  }
}

/** @throws Refused for anybody who is not of a retailer */
function ownerOf({ tenant, retailer }: Actor): ExportOwner {
  if (retailer === undefined) throw new Refused('not-allowed', 'These files are for the people of a retailer.');
  return { tenant, retailer };
}
