import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import type { VersionAddress } from '../platform/documents/document-lifecycle.js';
import { scopeOf } from '../platform/http/caller.js';
import { Invalid, Refused } from '../platform/http/problems.js';
import type { VersionMatch } from '../platform/http/versions.js';
import { checkPolicy } from './check-policy.js';
import { PolicyEvidenceService } from './policy-evidence.service.js';
import {
  PolicyCalendarStore,
  isLive,
  notBefore,
  type PolicyStep,
  type RecordedPeriod,
} from './store/policy-calendar.store.js';
import type { PolicyVersionRow } from './store/policy-version.entity.js';
import { PolicyVersionStore, type VersionChange } from './store/policy-version.store.js';
import { takeOff } from './versions/periods.js';
import { versionState, type VersionState } from './versions/version-state.js';
import { dayFaults, type WantedDays } from './versions/wanted-days.js';

/** A version with where it stands. */
export interface StandingVersion {
  readonly row: PolicyVersionRow;
  readonly state: VersionState;
  /** Its days on the calendar as it is written down now. */
  readonly periods: readonly RecordedPeriod[];
}

/** A version with everything that led to where it stands. */
export interface VersionLife extends StandingVersion {
  readonly steps: readonly PolicyStep[];
}

/** What an approver says. */
export interface Approval {
  /** Content that was looked at. */
  readonly hash: string;
  readonly words?: string;
  /** Whether to put it on the calendar in the same step. */
  readonly publish: boolean;
}

/** The life of a policy's versions: edited, proposed, approved by a second person for one content, on the calendar, withdrawn. */
@Injectable()
export class PolicyVersionsService {
  constructor(
    private readonly db: Database,
    private readonly clock: Clock,
    private readonly store: PolicyVersionStore,
    private readonly calendar: PolicyCalendarStore,
    private readonly evidence: PolicyEvidenceService,
  ) {}

  /** One version with its steps. @throws Refused `not-found` */
  async life(actor: Actor, address: VersionAddress): Promise<VersionLife> {
    return this.db.inTenant(scopeOf(actor), async (tx) => this.lifeOf(tx, await this.demand(tx, actor, address)));
  }

  /** Where versions stand, in the order given. */
  async standing(actor: Actor, rows: readonly PolicyVersionRow[]): Promise<StandingVersion[]> {
    return this.db.inTenant(scopeOf(actor), (tx) => this.standingOf(tx, actor.tenant, rows));
  }

  /**
   * Every version of a policy, and all that was ever on its calendar.
   * @param asOf only what had been written down at this instant
   * @throws Refused `not-found`
   */
  async ofCode(
    actor: Actor,
    code: string,
    asOf?: string,
  ): Promise<{ readonly versions: readonly StandingVersion[]; readonly calendar: readonly RecordedPeriod[] }> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const rows = await this.store.ofCode(tx, actor.tenant, code);
      if (rows.length === 0) throw new Refused('not-found', 'There is no policy of that code.');
      return {
        versions: await this.standingOf(tx, actor.tenant, rows),
        calendar: (await this.calendar.history(tx, actor.tenant, code)).flatMap((period) => knownAt(period, asOf)),
      };
    });
  }

  /** The version of a policy that holds on a day, as it was written down at an instant. @throws Refused `not-found` */
  async holding(actor: Actor, code: string, on: string, asOf?: string): Promise<StandingVersion> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = await this.store.ofCodeInForce(tx, actor.tenant, code, on, asOf);
      if (row === null) throw new Refused('not-found', `No version of that policy held on ${on}, as known then.`);
      const [standing] = await this.standingOf(tx, actor.tenant, [row]);
      if (standing === undefined) throw new Error('a version stands nowhere');
      return standing;
    });
  }

  /**
   * Changes a version that is not published. A proposal and an approval of what it was before are void.
   * @throws Invalid; Refused `already-published`, `version-changed`
   */
  async edit(
    actor: Actor,
    address: VersionAddress,
    match: VersionMatch,
    wanted: WantedDays & { readonly document: object },
  ): Promise<VersionLife> {
    return this.act(actor, address, match, async (tx, row, at) => {
      if (!('id' in wanted.document) || wanted.document.id !== address.code) {
        const detail = `The id of the document must be ${address.code}, as in the address.`;
        throw new Invalid([{ pointer: '#/document/id', detail }]);
      }
      const faults = dayFaults(wanted);
      if (faults.length > 0) throw new Invalid(faults);
      const checked = checkPolicy({ ...wanted.document, version: row.version }, 'draft');
      if (!checked.ok) throw invalid(checked.faults);
      const { effectiveFrom, effectiveTo = null } = wanted;
      // What the edit voids, before the row in hand moves on.
      const body = row.stage === 'draft' ? {} : { voids: row.stage === 'approved' ? 'approval' : 'proposal' };
      const change = { ...checked.content, ...checked.columns, effectiveFrom, effectiveTo } as VersionChange;
      const next = await this.advance(tx, row, { ...change, ...NOT_APPROVED, stage: 'draft' });
      await this.calendar.note(tx, next, { kind: 'edited', at, by: actor.id, body });
    });
  }

  /** Puts a draft before a second person. @throws Invalid `policy-invalid` where examples or the analysis stand against it */
  async propose(actor: Actor, address: VersionAddress, match: VersionMatch, words?: string): Promise<VersionLife> {
    return this.act(actor, address, match, async (tx, row, at) => {
      demandStage(row, 'draft', 'A draft is proposed, once.');
      const faults = this.evidence.against(row.body);
      if (faults.length > 0) throw invalid(faults);
      const next = await this.advance(tx, row, { stage: 'proposed' });
      await this.calendar.note(tx, next, { kind: 'proposed', at, by: actor.id, ...(words && { words }) });
    });
  }

  /**
   * Approves exactly the content that the approver has looked at, and by default puts it on the calendar.
   * @throws Refused `same-person`, `policy-state-forbids`, `policy-content-changed`, `rehearsal-needed`; Invalid `policy-invalid`
   */
  async approve(actor: Actor, address: VersionAddress, match: VersionMatch, approval: Approval): Promise<VersionLife> {
    return this.act(actor, address, match, async (tx, row, at) => {
      await this.demandSecondPerson(tx, row, actor);
      demandStage(row, 'proposed', 'Only what is proposed can be approved.');
      if (approval.hash !== row.hash) {
        const detail = 'What you looked at is not what is proposed now. Read it again, and approve that.';
        throw new Refused('policy-content-changed', detail, { hash: row.hash });
      }
      const faults = this.evidence.against(row.body);
      if (faults.length > 0) throw invalid(faults);
      const rehearsal = await this.evidence.demandRehearsed(tx, row);
      const change = { stage: 'approved', approvedBy: actor.id, approvedAt: at, approvedHash: row.hash } as const;
      const next = await this.advance(tx, row, change);
      const { words } = approval;
      const body = rehearsal === undefined ? {} : { rehearsal };
      await this.calendar.note(tx, next, { kind: 'approved', at, by: actor.id, body, ...(words && { words }) });
      if (approval.publish) await this.putOn(tx, next, actor, at);
    });
  }

  /** Sends a proposal back, saying why. */
  async reject(actor: Actor, address: VersionAddress, match: VersionMatch, words: string): Promise<VersionLife> {
    return this.act(actor, address, match, async (tx, row, at) => {
      demandStage(row, 'proposed', 'Only what is proposed can be sent back.');
      const next = await this.advance(tx, row, { stage: 'draft' });
      await this.calendar.note(tx, next, { kind: 'rejected', at, by: actor.id, words });
    });
  }

  /** Puts an approved version on the calendar. @throws Refused `same-person`, `policy-state-forbids` */
  async publish(actor: Actor, address: VersionAddress): Promise<VersionLife> {
    return this.act(actor, address, undefined, async (tx, row, at) => {
      await this.demandSecondPerson(tx, row, actor);
      demandStage(row, 'approved', 'Only what is approved can be published.');
      await this.putOn(tx, row, actor, at);
    });
  }

  /** Takes a published version off the calendar, saying why; what held on its days before holds again. */
  async withdraw(actor: Actor, address: VersionAddress, words: string): Promise<VersionLife> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = await this.demand(tx, actor, address);
      await this.calendar.lock(tx, row.tenantId, row.code);
      const history = await this.calendar.history(tx, row.tenantId, row.code);
      const live = history.filter(isLive);
      const put = history.find(({ versionId, because }) => versionId === row.id && because === 'published');
      const gone = await this.calendar.withdrawn(tx, row.tenantId, [...new Set(history.map((one) => one.versionId))]);
      if (put === undefined || gone.has(row.id) || !live.some(({ versionId }) => versionId === row.id)) {
        throw new Refused('policy-state-forbids', 'Only a version that is on the calendar can be withdrawn.');
      }
      const at = notBefore(history, this.clock.now().toString());
      const before = history.filter((one) => wasLiveBefore(one, put) && !gone.has(one.versionId));
      const taken = takeOff(live, row.version, before);
      await this.calendar.write(tx, row, { ...taken, because: 'restored' }, at);
      await this.calendar.note(tx, row, { kind: 'withdrawn', at, by: actor.id, words });
      return this.lifeOf(tx, row);
    });
  }

  private async putOn(tx: EntityManager, row: PolicyVersionRow, actor: Actor, at: string): Promise<void> {
    const next = await this.advance(tx, row, { publishedBy: actor.id, publishedAt: at });
    await this.calendar.publish(tx, next, { at, by: actor.id });
  }

  /** One step on a version that is not published, as the client has read it. */
  private async act(
    actor: Actor,
    address: VersionAddress,
    match: VersionMatch | undefined,
    work: (tx: EntityManager, row: PolicyVersionRow, at: string) => Promise<void>,
  ): Promise<VersionLife> {
    if (actor.kind !== 'person') throw new Refused('not-allowed', 'Only a person who is signed in can do this.');
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = await this.demand(tx, actor, address);
      if (row.publishedAt !== null)
        throw new Refused('already-published', 'Write a new version of the policy instead.');
      match?.demand(row.edit);
      await work(tx, row, this.clock.now().toString());
      return this.lifeOf(tx, await this.demand(tx, actor, address));
    });
  }

  private async advance(tx: EntityManager, row: PolicyVersionRow, change: VersionChange): Promise<PolicyVersionRow> {
    if (await this.store.advance(tx, row, change)) return Object.assign(row, change, { edit: row.edit + 1 });
    throw new Refused('version-changed', 'Somebody else acted on this version at the same moment. Read it again.');
  }

  /** Whoever wrote any of it does not approve it. */
  private async demandSecondPerson(tx: EntityManager, row: PolicyVersionRow, actor: Actor): Promise<void> {
    const steps = await this.calendar.steps(tx, row.tenantId, row.id);
    const wrote = steps.some(({ kind, by }) => by === actor.id && (kind === 'drafted' || kind === 'edited'));
    if (!wrote && row.createdBy !== actor.id) return;
    throw new Refused('same-person', 'You wrote this policy, or a part of it. Ask a second person.');
  }

  private async demand(tx: EntityManager, actor: Actor, address: VersionAddress): Promise<PolicyVersionRow> {
    const row = await this.store.find(tx, { ...address, tenant: actor.tenant });
    if (row === null) throw new Refused('not-found', `There is no version ${address.version} of that policy.`);
    return row;
  }

  private async lifeOf(tx: EntityManager, row: PolicyVersionRow): Promise<VersionLife> {
    const [standing] = await this.standingOf(tx, row.tenantId, [row]);
    const steps = await this.calendar.steps(tx, row.tenantId, row.id);
    return { row, state: standing?.state ?? row.stage, periods: standing?.periods ?? [], steps };
  }

  private async standingOf(
    tx: EntityManager,
    tenant: string,
    rows: readonly PolicyVersionRow[],
  ): Promise<StandingVersion[]> {
    const ids = rows.map(({ id }) => id);
    const live = Map.groupBy(await this.calendar.live(tx, tenant, ids), ({ versionId }) => versionId);
    const withdrawn = await this.calendar.withdrawn(tx, tenant, ids);
    const zones = await this.store.zones(tx, tenant, ids);
    return rows.map((row) => {
      const periods = live.get(row.id) ?? [];
      const today = this.clock
        .now()
        .toZonedDateTimeISO(zones.get(row.id) ?? 'UTC')
        .toPlainDate()
        .toString();
      const facts = { stage: row.stage, published: row.publishedAt !== null, withdrawn: withdrawn.has(row.id) };
      return { row, periods, state: versionState({ ...facts, live: periods }, today) };
    });
  }
}

const NOT_APPROVED = { approvedBy: null, approvedAt: null, approvedHash: null } as const;

function demandStage(row: PolicyVersionRow, stage: PolicyVersionRow['stage'], words: string): void {
  if (row.stage === stage) return;
  throw new Refused('policy-state-forbids', `${words} This version is ${row.stage}.`, { state: row.stage });
}

/** A row as it was known at an instant: not there before it was written down, and not superseded yet. */
function knownAt(period: RecordedPeriod, asOf: string | undefined): RecordedPeriod[] {
  if (asOf === undefined) return [period];
  if (Temporal.Instant.compare(period.recordedAt, asOf) > 0) return [];
  const { supersededAt } = period;
  const later = supersededAt !== null && Temporal.Instant.compare(supersededAt, asOf) > 0;
  return [later ? { ...period, supersededAt: null } : period];
}

/** Whether a row was on the calendar at the moment before another one was written. */
function wasLiveBefore(one: RecordedPeriod, put: RecordedPeriod): boolean {
  if (one.versionId === put.versionId) return false;
  const known = Temporal.Instant.compare(one.recordedAt, put.recordedAt) < 0;
  return known && (one.supersededAt === null || Temporal.Instant.compare(one.supersededAt, put.recordedAt) >= 0);
}

function invalid(faults: readonly { readonly pointer: string; readonly detail: string }[]): Invalid {
  const placed = faults.map((fault) => ({ ...fault, pointer: fault.pointer.replace(/^#/, '#/document') }));
  return new Invalid(placed, 'policy-invalid');
}
