import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { BoundedCache } from '../platform/documents/bounded-cache.js';
import { DocumentLifecycle, type ReadyVersion, type VersionAddress } from '../platform/documents/document-lifecycle.js';
import { scopeOf } from '../platform/http/caller.js';
import type { Page, PageQuery } from '../platform/http/pages.js';
import { Invalid, Refused } from '../platform/http/problems.js';
import { checkPolicy } from './check-policy.js';
import {
  compilePolicy,
  PolicyConflict,
  type CompiledPolicy,
  type Evaluation,
  type Facts,
  type OutcomeScalar,
} from './policies.contract.js';
import type { PolicyVersionRow } from './store/policy-version.entity.js';
import { PolicyCalendarStore } from './store/policy-calendar.store.js';
import { PolicyVersionStore } from './store/policy-version.store.js';
import type { WhyNot } from './trace.contract.js';
import { dayFaults, type WantedDays } from './versions/wanted-days.js';

/** A compiled policy and which version of which policy it is. */
export interface PolicyInForce {
  readonly policy: CompiledPolicy;
  /** uuid of the version */
  readonly id: string;
  readonly code: string;
  readonly version: number;
}

/** What to evaluate a policy on. */
export interface EvaluationWish {
  readonly facts: Facts;
  /** Local date, YYYY-MM-DD; absent: today where the policy governs. */
  readonly on?: string;
  /** A version, also a draft; absent: the one in force on that day. */
  readonly version?: number;
  /** RFC 3339 instant: the version that held on the day as it was written down then. */
  readonly asOf?: string;
  readonly decisions?: readonly string[];
  /** With the whole way to each outcome. */
  readonly explain?: boolean;
  /** An outcome that somebody would have expected, to be told why it is not this. */
  readonly whyNot?: { readonly name: string; readonly value: OutcomeScalar };
}

/** What came of an evaluation, and of which version on which day. */
export interface PolicyEvaluation extends Evaluation {
  readonly code: string;
  readonly version: number;
  readonly on: string;
  readonly whyNot?: WhyNot;
}

/** Most policies kept compiled: a few versions for each of a handful of places. */
const MOST_COMPILED = 64;

/** Versions of policies: written, checked, published by a second person, found for a place and a day, and run. */
@Injectable()
export class PoliciesService {
  private readonly compiled = new BoundedCache<CompiledPolicy>(MOST_COMPILED);
  private readonly lifecycle: DocumentLifecycle<PolicyVersionRow>;

  constructor(
    private readonly db: Database,
    private readonly clock: Clock,
    private readonly store: PolicyVersionStore,
    private readonly calendar: PolicyCalendarStore,
  ) {
    this.lifecycle = new DocumentLifecycle(db, clock, store, {
      name: 'policy',
      invalid: 'policy-invalid',
      secondPerson: true,
      check: async (_tx, _tenant, document, purpose) => checkPolicy(document, purpose),
    });
  }

  /** One page of versions in order of code and number. */
  async list(actor: Actor, query: PageQuery): Promise<Page<PolicyVersionRow>> {
    return this.lifecycle.list(actor, query);
  }

  /** @throws Refused `not-found` */
  async read(actor: Actor, address: VersionAddress): Promise<PolicyVersionRow> {
    return this.lifecycle.read(actor, address);
  }

  /**
   * Writes a new version as a draft.
   * @param days local dates on which it holds once it is published; without a last one until a later version begins
   * @throws Invalid `policy-invalid` with every fault of the document
   */
  async draft(actor: Actor, code: string, document: object, days: WantedDays): Promise<PolicyVersionRow> {
    const faults = dayFaults(days);
    if (faults.length > 0) throw new Invalid(faults);
    const { effectiveFrom, effectiveTo = null } = days;
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const row = await this.lifecycle.draft(actor, code, document, { effectiveFrom, effectiveTo });
      await this.calendar.note(tx, row, { kind: 'drafted', at: this.clock.now().toString(), by: actor.id });
      return row;
    });
  }

  /** Runs a policy on facts, without effect. @throws Refused `not-found`; Invalid when a fact is not declared or of the wrong type */
  async evaluate(actor: Actor, code: string, wish: EvaluationWish): Promise<PolicyEvaluation> {
    const today = wish.on ?? this.clock.now().toZonedDateTimeISO('UTC').toPlainDate().toString();
    const row = await this.db.inTenant(scopeOf(actor), (tx) =>
      wish.version === undefined
        ? this.store.ofCodeInForce(tx, actor.tenant, code, today, wish.asOf)
        : this.store.find(tx, { tenant: actor.tenant, code, version: wish.version }),
    );
    if (row === null)
      throw new Refused('not-found', 'There is no such version, or none of that policy is in force on the day.');
    const policy = this.compile(row);
    const on = wish.on ?? this.clock.now().toZonedDateTimeISO(policy.document.zone).toPlainDate().toString();
    demandDecisions(policy, wish.decisions ?? []);
    return { code, version: row.version, on, ...run(policy, on, wish) };
  }

  /**
   * The policy that governs a place on a day: a subdivision's own, else the country's; the latest in effect, then the newest.
   * @param jurisdiction ISO 3166-1 country, optionally with ISO 3166-2 subdivision: "US-CA"
   * @param on local date of the place, YYYY-MM-DD
   * @throws Refused `policy-missing`
   */
  async inForce(tx: EntityManager, tenant: string, jurisdiction: string, on: string): Promise<PolicyInForce> {
    const country = jurisdiction.slice(0, 2);
    const row = await this.store.inForce(tx, tenant, [...new Set([jurisdiction, country])], on);
    if (row === null) {
      throw new Refused(
        'policy-missing',
        `No published policy for ${jurisdiction} is in force on ${on}. Publish one for ${country}, or correct the place of the visit.`,
        { jurisdiction, day: on },
      );
    }
    return { policy: this.compile(row), id: row.id, code: row.code, version: row.version };
  }

  /** A published policy. @param ref `code/version`, or `code` for the newest @throws Refused `policy-missing` */
  async byRef(tx: EntityManager, tenant: string, ref: string): Promise<CompiledPolicy> {
    const row = await this.store.publishedByRef(tx, tenant, ref);
    if (row === null) throw new Refused('policy-missing', `Publish the policy ${ref} first.`);
    return this.compile(row);
  }

  /**
   * Brings a published policy along. A version that is there already stays as it is.
   * @param effectiveFrom local date, YYYY-MM-DD
   * @returns whether it was added
   */
  async load(tx: EntityManager, tenant: string, ready: ReadyVersion, effectiveFrom: string): Promise<boolean> {
    const added = await this.lifecycle.load(tx, tenant, ready, { effectiveFrom });
    const { id: code, version } = ready.document;
    const row = added ? await this.store.find(tx, { tenant, code, version }) : null;
    if (row === null) return added;
    const [at, by] = [ready.publishedAt, ready.publisher];
    await this.calendar.note(tx, row, { kind: 'drafted', at, by: ready.author });
    await this.calendar.note(tx, row, { kind: 'approved', at, by });
    await this.calendar.publish(tx, row, { at, by });
    return added;
  }

  /** The policy of a version, ready to run. */
  compile(row: PolicyVersionRow): CompiledPolicy {
    return this.compiled.get(row.hash, () => {
      const outcome = compilePolicy(row.body);
      if (outcome.ok) return outcome.policy;
      throw new Error(`policy ${row.code}/${row.version} no longer compiles: ${outcome.faults[0]?.detail ?? ''}`);
    });
  }
}

function demandDecisions(policy: CompiledPolicy, wanted: readonly string[]): void {
  const known = policy.document.decisions.map((decision) => decision.id);
  const faults = wanted.flatMap((id, index) =>
    known.includes(id)
      ? []
      : [
          {
            pointer: `#/decisions/${index}`,
            detail: `The policy has no decision "${id}"; it has ${known.join(', ')}.`,
          },
        ],
  );
  if (faults.length > 0) throw new Invalid(faults);
}

function run(
  policy: CompiledPolicy,
  on: string,
  { facts, decisions, explain = false, whyNot }: EvaluationWish,
): Evaluation & { readonly whyNot?: WhyNot } {
  const evaluation = placed('#/facts', () => policy.evaluate(on, facts, decisions, { trace: explain }));
  if (whyNot === undefined) return evaluation;
  return { ...evaluation, whyNot: placed('#/whyNot', () => policy.whyNot(on, facts, whyNot)) };
}

/** The engine's contract: RangeError for what is not declared or of the wrong type, and a conflict where rules exclude each other. */
function placed<T>(pointer: string, ask: () => T): T {
  try {
    return ask();
  } catch (error) {
    if (error instanceof RangeError) throw new Invalid([{ pointer, detail: `${error.message}.` }]);
    if (error instanceof PolicyConflict) throw new Invalid([{ pointer: '#/facts', detail: error.message }]);
    throw error;
  }
}
