import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import type { Fault } from '../kernel/outcome.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { BoundedCache } from '../platform/documents/bounded-cache.js';
import {
  DocumentLifecycle,
  type CheckedDocument,
  type ReadyVersion,
  type VersionAddress,
} from '../platform/documents/document-lifecycle.js';
import { scopeOf } from '../platform/http/caller.js';
import type { Page, PageQuery } from '../platform/http/pages.js';
import { Invalid, Refused } from '../platform/http/problems.js';
import { runExamples } from './domain/run-examples.js';
import { placeFaults } from './place-faults.js';
import { compilePolicy, type CompiledPolicy, type Evaluation, type Facts } from './policies.contract.js';
import type { PolicyVersionRow } from './store/policy-version.entity.js';
import { PolicyVersionStore } from './store/policy-version.store.js';

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
  readonly decisions?: readonly string[];
}

/** What came of an evaluation, and of which version on which day. */
export interface PolicyEvaluation extends Evaluation {
  readonly code: string;
  readonly version: number;
  readonly on: string;
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
   * @param effectiveFrom local date from which it governs once it is published
   * @throws Invalid `policy-invalid` with every fault of the document
   */
  async draft(actor: Actor, code: string, document: object, effectiveFrom: string): Promise<PolicyVersionRow> {
    return this.lifecycle.draft(actor, code, document, { effectiveFrom });
  }

  /** Publishes a draft that somebody else wrote. @throws Refused `same-person`, `already-published` */
  async publish(actor: Actor, address: VersionAddress): Promise<PolicyVersionRow> {
    return this.lifecycle.publish(actor, address);
  }

  /** Runs a policy on facts, without effect. @throws Refused `not-found`; Invalid when a fact is not declared or of the wrong type */
  async evaluate(actor: Actor, code: string, wish: EvaluationWish): Promise<PolicyEvaluation> {
    const today = wish.on ?? this.clock.now().toZonedDateTimeISO('UTC').toPlainDate().toString();
    const row = await this.db.inTenant(scopeOf(actor), (tx) =>
      wish.version === undefined
        ? this.store.ofCodeInForce(tx, actor.tenant, code, today)
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
    return this.lifecycle.load(tx, tenant, ready, { effectiveFrom });
  }

  private compile(row: PolicyVersionRow): CompiledPolicy {
    return this.compiled.get(row.hash, () => {
      const outcome = compilePolicy(row.body);
      if (outcome.ok) return outcome.policy;
      throw new Error(`policy ${row.code}/${row.version} no longer compiles: ${outcome.faults[0]?.detail ?? ''}`);
    });
  }
}

/** A draft may still fail its own examples; what is published may not. */
function checkPolicy(document: object, purpose: 'draft' | 'publication'): CheckedDocument<PolicyVersionRow> {
  const outcome = compilePolicy(document);
  if (!outcome.ok) return { ok: false, faults: placeFaults(document, outcome.faults) };
  const faults = purpose === 'publication' ? failedExamples(outcome.policy) : [];
  if (faults.length > 0) return { ok: false, faults };
  const { document: body, hash } = outcome.policy;
  return { ok: true, content: { title: body.title, body, hash }, columns: { jurisdiction: body.jurisdiction } };
}

function failedExamples(policy: CompiledPolicy): Fault[] {
  return runExamples(policy).flatMap(({ id, differences }, index) =>
    differences.map((difference) => ({
      pointer: `#/examples/${index}/expect`,
      detail: `Example ${id}: ${difference}`,
    })),
  );
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

function run(policy: CompiledPolicy, on: string, wish: EvaluationWish): Evaluation {
  try {
    return policy.evaluate(on, wish.facts, wish.decisions);
  } catch (error) {
    // The engine's contract: RangeError for a fact that is not declared or of the wrong type.
    if (error instanceof RangeError) throw new Invalid([{ pointer: '#/facts', detail: `${error.message}.` }]);
    throw error;
  }
}
