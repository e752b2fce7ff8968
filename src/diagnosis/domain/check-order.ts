import type { EvidenceModel, Finding, FindingBar } from '../diagnosis.contract.js';
import type { OrderComparison, OrderRun } from '../learning.contract.js';
import type { Checklist, Observations } from '../../inspections/inspections.contract.js';
import type { CompiledModel } from './compile-model.js';
import { compiled } from './compile-model.js';
import { findings } from './findings.js';
import { nextChecks } from './next-checks.js';

/**
 * Goes through a finished inspection twice from the same start, until every finding is settled under the bar: once making the next
 * best check each time, once in the order of the checklist. Both start with the items that first show each damaged thing, and both
 * see only what the inspection holds: an item that nobody answered cannot be made by either. An item that is asked only after
 * another counts with that other one where it was not made yet. The order of the checklist is taken at its best: items that say
 * nothing about an open finding are passed over.
 * @returns undefined when the observations open no finding
 * @throws RangeError when an observation is both present and absent
 */
export function compareOrders(
  model: EvidenceModel | CompiledModel,
  checklist: Checklist,
  known: Observations,
  bar: FindingBar,
): OrderComparison | undefined {
  const inspection = new FinishedInspection(compiled(model), checklist, known);
  const all = findings(inspection.model, known, bar);
  if (all.length === 0) return undefined;
  const start = inspection.startFor(all.map(({ subject }) => subject));
  const chosen = inspection.walk(bar, start, (seen, made) =>
    nextChecks(inspection.model, seen, bar)
      .map(({ item }) => item)
      .find((item) => inspection.holds(item) && !made.has(item)),
  );
  const subjects = new Set(all.map(({ subject }) => subject));
  const listed = inspection.walk(bar, start, (_, made) =>
    inspection.inOrder.find((item) => !made.has(item) && inspection.informs(item, subjects)),
  );
  return { start: [...start], chosen, listed, leadingOnAll: leadingOf(all) };
}

type Choice = (seen: Observations, made: ReadonlySet<string>) => string | undefined;

/** What an inspection holds, item by item. */
class FinishedInspection {
  /** Answered items in the order of the checklist. */
  readonly inOrder: readonly string[];
  private readonly yields = new Map<string, { present: string[]; absent: string[] }>();
  private readonly seconds = new Map<string, number>();
  private readonly subjects = new Map<string, Set<string>>();
  private readonly needs = new Map<string, readonly string[]>();

  constructor(
    readonly model: CompiledModel,
    checklist: Checklist,
    known: Observations,
  ) {
    const present = new Set(known.present);
    const absent = new Set(known.absent);
    for (const { id, item, effortSeconds, otherwise } of model.model.observations) {
      const of = this.yields.get(item) ?? { present: [], absent: [] };
      if (present.has(id)) of.present.push(id);
      else if (absent.has(id)) of.absent.push(id);
      else continue;
      this.yields.set(item, of);
      this.seconds.set(item, Math.max(this.seconds.get(item) ?? 0, effortSeconds));
      this.subjects.set(item, new Set([...(this.subjects.get(item) ?? []), ...Object.keys(otherwise)]));
    }
    const items = checklist.sections.flatMap((section) => section.items);
    for (const { id, askIf = [] } of items)
      this.needs.set(
        id,
        askIf.map(({ item }) => item),
      );
    this.inOrder = items.map(({ id }) => id).filter((id) => this.yields.has(id));
  }

  holds(item: string): boolean {
    return this.yields.has(item);
  }

  informs(item: string, subjects: ReadonlySet<string>): boolean {
    return [...(this.subjects.get(item) ?? [])].some((subject) => subjects.has(subject));
  }

  /** For each subject the first item of the checklist that shows its damage, with the items that lead to it. */
  startFor(subjects: readonly string[]): Set<string> {
    const start = new Set<string>();
    for (const id of subjects) {
      const opensOn = new Set(this.model.subjects.find(({ subject }) => subject.id === id)?.subject.opensOn);
      const first = this.inOrder.find((item) => this.yields.get(item)?.present.some((one) => opensOn.has(one)));
      if (first !== undefined) for (const item of this.withNeeds(first, start)) start.add(item);
    }
    return start;
  }

  walk(bar: FindingBar, start: ReadonlySet<string>, choose: Choice): OrderRun {
    const made = new Set(start);
    for (;;) {
      const seen = this.seenAfter(made);
      const found = findings(this.model, seen, bar);
      const settled = found.every(({ verdict }) => verdict === 'settled');
      const next = settled ? undefined : choose(seen, made);
      if (next === undefined) {
        const items = [...made].filter((item) => !start.has(item));
        const seconds = items.reduce((sum, item) => sum + (this.seconds.get(item) ?? 0), 0);
        return { items, checks: items.length, seconds, settled, leading: leadingOf(found) };
      }
      for (const item of this.withNeeds(next, made)) made.add(item);
    }
  }

  /** The item after everything that must be answered before it is asked, without what is made already. */
  private withNeeds(item: string, made: ReadonlySet<string>): string[] {
    const before = (this.needs.get(item) ?? []).filter((need) => !made.has(need));
    return [...new Set([...before.flatMap((need) => this.withNeeds(need, made)), item])];
  }

  private seenAfter(made: ReadonlySet<string>): Observations {
    const parts = [...made].map((item) => this.yields.get(item) ?? { present: [], absent: [] });
    return { present: parts.flatMap(({ present }) => present), absent: parts.flatMap(({ absent }) => absent) };
  }
}

function leadingOf(found: readonly Finding[]): Record<string, string> {
  return Object.fromEntries(found.map(({ subject, explanations }) => [subject, explanations[0]?.id ?? '']));
}
