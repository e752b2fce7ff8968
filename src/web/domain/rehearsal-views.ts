import type { PartyEffect, Turn } from '../../policies/rehearsals.contract.js';
import { valueText } from './rule-differences.js';

/** From what to what, as a table: a row for each value before, a column for each after, and how many claims went from one to the other. */
export interface TurnTable {
  readonly columns: readonly string[];
  readonly rows: readonly { readonly was: string; readonly claims: readonly number[]; readonly all: number }[];
  /** Claims of each column. */
  readonly totals: readonly number[];
  readonly all: number;
}

/** Counts of turns as a table. Values stand in one order on both sides, those with most claims first, so that what stays lies on the diagonal. */
export function turnTable(turns: readonly Turn[]): TurnTable {
  const weight = new Map<string, number>();
  for (const { was, becomes, claims } of turns) {
    weight.set(was, (weight.get(was) ?? 0) + claims);
    weight.set(becomes, (weight.get(becomes) ?? 0) + claims);
  }
  const order = [...weight].toSorted(([a, m], [b, n]) => n - m || a.localeCompare(b)).map(([value]) => value);
  const count = (was: string, becomes: string): number =>
    turns.filter((turn) => turn.was === was && turn.becomes === becomes).reduce((sum, { claims }) => sum + claims, 0);
  const columns = order.filter((value) => turns.some(({ becomes }) => becomes === value));
  const rows = order
    .filter((value) => turns.some(({ was }) => was === value))
    .map((was) => {
      const claims = columns.map((becomes) => count(was, becomes));
      return { was, claims, all: claims.reduce((sum, n) => sum + n, 0) };
    });
  const totals = columns.map((_column, at) => rows.reduce((sum, { claims }) => sum + (claims[at] ?? 0), 0));
  return { columns, rows, totals, all: totals.reduce((sum, n) => sum + n, 0) };
}

/** How many claims have each value before and after. */
export function beforeAndAfter(
  turns: readonly Turn[],
): readonly { readonly value: string; readonly before: number; readonly after: number }[] {
  const { columns, rows, totals } = turnTable(turns);
  const values = [...new Set([...rows.map(({ was }) => was), ...columns])];
  return values.map((value) => ({
    value,
    before: rows.find(({ was }) => was === value)?.all ?? 0,
    after: totals[columns.indexOf(value)] ?? 0,
  }));
}

/** Parties of one kind, those first of whom most claims change. */
export function partiesByChange(parties: readonly PartyEffect[]): readonly PartyEffect[] {
  return parties.toSorted((a, b) => b.changed - a.changed || b.claims - a.claims || a.name.localeCompare(b.name));
}

/** The part of a question to a policy by which the same question is found again under another version. */
interface Asked {
  readonly about?: string;
  readonly given: object;
  readonly asked: readonly string[];
  readonly outcomes: Readonly<Record<string, unknown>>;
  readonly rules: readonly { readonly decision: string; readonly rule: string }[];
}

/** One question under both versions; a side is absent where it was not asked. */
export interface PairedQuestion<Q extends Asked> {
  readonly key: string;
  readonly was?: Q;
  readonly becomes?: Q;
  /** Whether both sides give the same outcomes by the same rules. */
  readonly alike: boolean;
}

/** Puts the questions of two ways beside each other; the same question asked again is paired with its like in order. */
export function pairQuestions<Q extends Asked>(was: readonly Q[], becomes: readonly Q[]): PairedQuestion<Q>[] {
  const left = new Map<string, Q[]>();
  for (const question of was) left.set(keyOf(question), [...(left.get(keyOf(question)) ?? []), question]);
  const pairs: PairedQuestion<Q>[] = becomes.map((after, n) => {
    const key = keyOf(after);
    const before = left.get(key)?.shift();
    return {
      key: `${key} ${n}`,
      becomes: after,
      ...(before === undefined ? {} : { was: before }),
      alike: alike(before, after),
    };
  });
  const gone = [...left].flatMap(([key, questions]) =>
    questions.map((before, n) => ({ key: `${key} before ${n}`, was: before, alike: false })),
  );
  return [...pairs, ...gone];
}

function keyOf({ about, given, asked }: Asked): string {
  return JSON.stringify([about, Object.entries(given).toSorted(([a], [b]) => a.localeCompare(b)), asked]);
}

function alike(was: Asked | undefined, becomes: Asked): boolean {
  if (was === undefined) return false;
  const said = ({ outcomes, rules }: Asked): string =>
    JSON.stringify([
      Object.entries(outcomes).toSorted(([a], [b]) => a.localeCompare(b)),
      rules.map(({ decision, rule }) => `${decision} ${rule}`),
    ]);
  return said(was) === said(becomes);
}

/** "option refund, wished yes": facts in words. */
export function factsInWords(facts: Readonly<Record<string, Parameters<typeof valueText>[0]>>): string {
  return Object.entries(facts)
    .map(([name, value]) => `${name} ${valueText(value)}`)
    .join(', ');
}
