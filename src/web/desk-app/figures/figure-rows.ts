import {
  AGE_BANDS,
  monthsFrom,
  OPEN_STATES,
  type CheckYield,
  type Figures,
  type PartyMoney,
  type RuleOverrides,
} from '../../../insight/insight.contract.js';
import { COMPONENTS, GROUNDS, type Component } from '../../../kernel/vocabulary.js';
import { GROUND_WORDS, PARTY_WORDS, sentenceCase } from '../../domain/trade-words.js';
import type { ChartRow } from '../parts/chart-scale.js';

/** A drawing's rows and the names of what they count. */
export interface Drawn {
  readonly series: readonly string[];
  readonly rows: readonly ChartRow[];
}

const OUTCOMES = ['approved', 'approved in part', 'declined'] as const;

/** Hours as people say them: "5.2 hours", "3.4 days" from two days on. */
export function showHours(hours: number): string {
  if (hours < 1) return `${Math.round(hours * 60)} min`;
  return hours < 48 ? `${tenths(hours)} h` : `${tenths(hours / 24)} days`;
}

/** 0.1234 → "12.3 %". */
export function showPart(part: number): string {
  return `${tenths(part * 100)} %`;
}

/** "2026-03" → "Mar 2026". */
export function showMonth(month: string): string {
  return Temporal.PlainYearMonth.from(month)
    .toPlainDate({ day: 1 })
    .toLocaleString('en-US', { month: 'short', year: 'numeric' });
}

function tenths(value: number): string {
  return value.toLocaleString('en-GB', { maximumFractionDigits: 1 });
}

/** Outcomes, each made up of grounds. Grounds that nothing was decided on are left out. */
export function decidedRows({ decided }: Figures): Drawn {
  const grounds = GROUNDS.filter((ground) => decided.some((line) => line.ground === ground));
  const rows = decided.length === 0 ? [] : OUTCOMES;
  return {
    series: grounds.map((ground) => GROUND_WORDS[ground]),
    rows: rows.map((outcome) => ({
      says: sentenceCase(outcome),
      values: grounds.map((ground) =>
        total(decided.filter((line) => line.outcome === outcome && line.ground === ground)),
      ),
    })),
  };
}

/** Ages of open cases, each made up of states. */
export function openRows({ open }: Figures): Drawn {
  const states = OPEN_STATES.filter((state) => open.some((line) => line.state === state));
  const bands = open.length === 0 ? [] : AGE_BANDS;
  return {
    series: states.map(sentenceCase),
    rows: bands.map((band) => ({
      says: sentenceCase(band),
      values: states.map((state) => total(open.filter((line) => line.band === band && line.state === state))),
    })),
  };
}

/** The two times of a case: median and nine in ten. */
export function timeRows({ times }: Figures): readonly ChartRow[] {
  const both = [
    ['To first look', times.firstLook],
    ['To decision', times.decision],
  ] as const;
  return both.map(([says, { medianHours, ninetiethHours, count, waiting }]) => ({
    says,
    values: [medianHours, ninetiethHours],
    more: [count, waiting],
  }));
}

/** Time to decision month by month; months without a decision are gaps. */
export function monthRows({ times }: Figures): readonly ChartRow[] {
  const months = times.byMonth.map(({ month }) => month);
  return between(months).map((month) => {
    const found = times.byMonth.find((line) => line.month === month);
    return {
      says: showMonth(month),
      values: [found?.medianHours ?? null, found?.ninetiethHours ?? null],
      more: [found?.count ?? 0],
    };
  });
}

/** Makers by what was broken, the one with most findings first. */
export function makerRows({ classes }: Figures): Drawn {
  const components = componentsIn(classes);
  const makers = Map.groupBy(classes, ({ maker }) => maker);
  const rows = [...makers].map(([says, lines]) => ({ says, values: byComponent(lines, components) }));
  return {
    series: components.map(sentenceCase),
    rows: rows.toSorted((a, b) => whole(b.values) - whole(a.values) || a.says.localeCompare(b.says)),
  };
}

/** The months of one maker by what was broken, under the same names as those of all makers. */
export function makerMonthRows({ classes }: Figures, maker: string): Drawn {
  const components = componentsIn(classes);
  const own = classes.filter((line) => line.maker === maker);
  return {
    series: components.map(sentenceCase),
    rows: between(classes.map(({ month }) => month)).map((month) => ({
      says: showMonth(month),
      values: byComponent(
        own.filter((line) => line.month === month),
        components,
      ),
    })),
  };
}

/** Rules by how often decisions departed. */
export function ruleRows(rules: readonly RuleOverrides[]): readonly ChartRow[] {
  return rules.map(({ policy, rule, rate, low, high, count, of }) => ({
    says: rule,
    sub: policy,
    values: [rate],
    between: [low, high],
    more: [count, of],
  }));
}

/** Checks by how often they moved a finding. */
export function checkRows(checks: readonly CheckYield[]): readonly ChartRow[] {
  return checks.map(({ says, model, rate, low, high, count, of, present, notChecked, meanDecibans }) => ({
    says: sentenceCase(says),
    sub: model,
    values: [rate],
    between: [low, high],
    more: [count, of, present, notChecked, tenths(meanDecibans)],
  }));
}

/** Names of what a demand is made up of. */
export const MONEY_SERIES = ['Recovered', 'Written off', 'Still owed', 'Not sent yet'] as const;

/** Parties by what they were asked for, for each currency. What a party paid beyond its debt is no part of a bar. */
export function moneyRows({ money }: Figures): readonly { readonly currency: string; readonly rows: ChartRow[] }[] {
  const currencies = Map.groupBy(money, ({ currency }) => currency);
  return [...currencies].map(([currency, lines]) => ({ currency, rows: lines.map(moneyRow) }));
}

function moneyRow(line: PartyMoney): ChartRow {
  return {
    says: PARTY_WORDS[line.party],
    values: [line.recoveredMinor, line.writtenOffMinor, line.owedMinor, line.notSentMinor],
    more: [line.demands],
  };
}

function componentsIn(lines: Figures['classes']): readonly Component[] {
  return COMPONENTS.filter((component) => lines.some((line) => line.component === component));
}

function byComponent(lines: Figures['classes'], components: readonly Component[]): number[] {
  return components.map((component) => total(lines.filter((line) => line.component === component)));
}

/** Every month from the first to the last of some. */
function between(months: readonly string[]): string[] {
  const sorted = months.toSorted();
  const [first, last] = [sorted[0], sorted.at(-1)];
  return first === undefined || last === undefined ? [] : monthsFrom(first, last);
}

function total(lines: readonly { readonly count: number }[]): number {
  return whole(lines.map(({ count }) => count));
}

function whole(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0);
}
