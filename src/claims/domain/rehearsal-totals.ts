import type { CaseOutcome } from '../../adjudication/records.contract.js';
import type { ChangeKind } from '../../policies/rehearsals.contract.js';
import { holdWords, remedyWords, responsibleWords } from './outcome-changes.js';

/** A claim that was judged again. */
export interface RehearsedClaim {
  readonly parties: { readonly retailer: string; readonly carrier: string; readonly maker: string };
  readonly kinds: readonly ChangeKind[];
  readonly was: CaseOutcome;
  /** Undefined where the version cannot be applied. */
  readonly becomes: CaseOutcome | undefined;
  readonly problem?: string;
  /** Regions of the difference that the claim lies in, by their places. */
  readonly regions: readonly number[];
}

/** Sums by currency; amounts in minor units, exact. */
export type Amounts = [currency: string, ...sums: number[]][];

/** What a stretch of claims adds up to, as it is kept until all stretches are done. Lists of pairs, because names come from outside. */
export interface StretchTotals {
  readonly claims: number;
  readonly changed: number;
  readonly kinds: [ChangeKind, number][];
  /** Customer was and becomes, cost was and becomes, claims that get more and less. */
  readonly money: Amounts;
  readonly remedies: [key: string, claims: number, delta: Amounts][];
  readonly responsible: [key: string, claims: number, delta: Amounts][];
  readonly holds: [key: string, claims: number, delta: Amounts][];
  readonly retailer: [name: string, claims: number, changed: number, deltas: Amounts][];
  readonly carrier: [name: string, claims: number, changed: number, deltas: Amounts][];
  readonly maker: [name: string, claims: number, changed: number, deltas: Amounts][];
  readonly problems: [problem: string, claims: number][];
  readonly regions: [place: number, claims: number][];
}

const ROLES = ['retailer', 'carrier', 'maker'] as const;
/** Whose demand is whose: a retailer is the seller of its goods. */
const PARTY_OF = { retailer: 'seller', carrier: 'carrier', maker: 'maker' } as const;
const TURNS = {
  remedies: remedyWords,
  responsible: responsibleWords,
  holds: holdWords,
} as const;
type TurnName = keyof typeof TURNS;

/** Numbers by name, added up without losing a unit. */
class Tally {
  private readonly rows = new Map<string, number[]>();

  /** @throws RangeError when a sum leaves the numbers that are exact */
  add(name: string, ...amounts: readonly number[]): void {
    const row = this.rows.get(name) ?? amounts.map(() => 0);
    for (const [index, amount] of amounts.entries()) {
      const sum = (row[index] ?? 0) + amount;
      if (!Number.isSafeInteger(sum))
        throw new RangeError('the sums of the rehearsal are larger than can be kept exactly');
      row[index] = sum;
    }
    this.rows.set(name, row);
  }

  entries(): [string, ...number[]][] {
    return [...this.rows].map(([name, sums]) => [name, ...sums]);
  }
}

/** Counts with amounts by currency beneath them. */
class Ledger {
  private readonly counts = new Tally();
  private readonly amounts = new Map<string, Tally>();

  add(name: string, counts: readonly number[], amounts: Amounts): void {
    this.counts.add(name, ...counts);
    const tally = this.amounts.get(name) ?? new Tally();
    for (const [currency, ...sums] of amounts) tally.add(currency, ...sums);
    this.amounts.set(name, tally);
  }

  /** Name, counts, amounts. */
  entries(): [string, number[], Amounts][] {
    return this.counts.entries().map(([name, ...counts]) => [name, counts, this.amounts.get(name)?.entries() ?? []]);
  }
}

/** Adds up what a version does to claims. */
export class RehearsalTotals {
  private claims = 0;
  private changed = 0;
  private readonly kinds = new Tally();
  private readonly money = new Tally();
  private readonly turns = { remedies: new Ledger(), responsible: new Ledger(), holds: new Ledger() };
  private readonly whom = { retailer: new Ledger(), carrier: new Ledger(), maker: new Ledger() };
  private readonly problems = new Tally();
  private readonly regions = new Tally();

  /** Adds one claim. @throws RangeError when a sum can no longer be kept exactly */
  add(claim: RehearsedClaim): void {
    const { was, becomes, kinds, parties, problem, regions } = claim;
    const isChanged = kinds.length > 0;
    this.claims += 1;
    if (isChanged) this.changed += 1;
    for (const kind of kinds) this.kinds.add(kind, 1);
    for (const region of regions) this.regions.add(String(region), 1);
    if (problem !== undefined) this.problems.add(problem, 1);
    const delta = becomes === undefined ? 0 : becomes.customerMinor - was.customerMinor;
    if (becomes !== undefined) {
      const both = [was.customerMinor, becomes.customerMinor, was.costMinor, becomes.costMinor];
      this.money.add(was.currency, ...both, delta > 0 ? 1 : 0, delta < 0 ? 1 : 0);
      for (const [name, words] of Object.entries(TURNS) as [TurnName, (outcome: CaseOutcome) => string][]) {
        this.turns[name].add(JSON.stringify([words(was), words(becomes)]), [1], [[was.currency, delta]]);
      }
    }
    for (const role of ROLES) {
      const demand = becomes === undefined ? 0 : demandOf(becomes, PARTY_OF[role]) - demandOf(was, PARTY_OF[role]);
      this.whom[role].add(parties[role], [1, isChanged ? 1 : 0], [[was.currency, delta, demand]]);
    }
  }

  /** Adds what another stretch came to. */
  merge(totals: StretchTotals): void {
    this.claims += totals.claims;
    this.changed += totals.changed;
    for (const [kind, count] of totals.kinds) this.kinds.add(kind, count);
    for (const [currency, ...sums] of totals.money) this.money.add(currency, ...sums);
    for (const name of Object.keys(TURNS) as TurnName[]) {
      for (const [key, count, amounts] of totals[name]) this.turns[name].add(key, [count], amounts);
    }
    for (const role of ROLES) {
      for (const [name, count, changed, amounts] of totals[role]) this.whom[role].add(name, [count, changed], amounts);
    }
    for (const [problem, count] of totals.problems) this.problems.add(problem, count);
    for (const [place, count] of totals.regions) this.regions.add(String(place), count);
  }

  toJSON(): StretchTotals {
    const turn = (name: TurnName): StretchTotals['remedies'] =>
      this.turns[name].entries().map(([key, [claims = 0], amounts]) => [key, claims, amounts]);
    const whom = (role: (typeof ROLES)[number]): StretchTotals['retailer'] =>
      this.whom[role].entries().map(([name, [claims = 0, changed = 0], amounts]) => [name, claims, changed, amounts]);
    return {
      claims: this.claims,
      changed: this.changed,
      kinds: this.kinds.entries().map(([kind, count = 0]) => [kind as ChangeKind, count]),
      money: this.money.entries(),
      remedies: turn('remedies'),
      responsible: turn('responsible'),
      holds: turn('holds'),
      retailer: whom('retailer'),
      carrier: whom('carrier'),
      maker: whom('maker'),
      problems: this.problems.entries().map(([problem, count = 0]) => [problem, count]),
      regions: this.regions.entries().map(([place, count = 0]) => [Number(place), count]),
    };
  }
}

function demandOf({ demands }: CaseOutcome, party: string): number {
  return demands.find((demand) => demand.party === party)?.totalMinor ?? 0;
}
