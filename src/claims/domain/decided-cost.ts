import type { AmountLine, Assessment, Responsibility } from '../../adjudication/adjudication.contract.js';
import { balancedBy, type Posting } from '../../kernel/double-entry.js';
import { splitByWeight } from '../../kernel/shares.js';
import type { Remedy } from '../../kernel/vocabulary.js';

/** What of a decision says what it costs. */
export interface DecidedRemedy {
  readonly remedies: readonly Remedy[];
  readonly totalMinor: number;
  /** Whether it departs from what the assessment proposed. */
  readonly overrides: boolean;
}

/** What a decision costs and who answers for which part. */
export interface DecidedCost {
  readonly costLines: readonly AmountLine[];
  readonly responsibility: readonly Responsibility[];
  readonly costTotalMinor: number;
  readonly customerTotalMinor: number;
  /** Remedies that a person decided and whose cost beside the money no line knows. */
  readonly uncosted: readonly Remedy[];
}

/**
 * What a decision costs. One that follows the proposal costs what was proposed. One that departs from it costs the money decided and
 * whatever else the remedies cost that it shares with the proposal; a remedy that was not proposed has no cost on record beside its
 * money and is named as `uncosted`. The cost is shared over the matters as the proposal's was.
 */
export function decidedCost(assessment: Assessment, decided: DecidedRemedy): DecidedCost {
  const { remedy, responsibility } = assessment;
  if (!decided.overrides) {
    const { costLines, costTotalMinor, customerTotalMinor } = remedy;
    return { costLines, responsibility, costTotalMinor, customerTotalMinor, uncosted: [] };
  }
  const kept = remedy.chosen.filter((chosen) => decided.remedies.includes(chosen.remedy));
  const about = new Set(
    kept.flatMap((chosen) => (chosen.about.length === 1 ? chosen.about : ['claim', ...chosen.about])),
  );
  const others = remedy.costLines.filter((line) => line.id !== 'customer' && about.has(line.about));
  const lines = withoutExcessSalvage([...customerLine(decided.totalMinor), ...others]);
  const costTotalMinor = sum(lines);
  const uncosted = decided.remedies.filter(
    (one) => COSTS_MORE_THAN_MONEY.has(one) && !kept.some((chosen) => chosen.remedy === one),
  );
  return {
    costLines: lines,
    responsibility: shared(costTotalMinor, responsibility),
    costTotalMinor,
    customerTotalMinor: decided.totalMinor,
    uncosted,
  };
}

/**
 * The postings of a decision that stands: the loss is the cost; the customer is owed the money, suppliers the rest; what goods in
 * hand should still fetch is kept as salvage.
 */
export function decisionPostings(cost: DecidedCost): Posting[] {
  const salvage = sum(cost.costLines.filter(({ amountMinor }) => amountMinor < 0));
  return balancedBy('loss', [
    { account: 'customer', amountMinor: -cost.customerTotalMinor },
    { account: 'salvage', amountMinor: -salvage },
    { account: 'supply', amountMinor: -(cost.costTotalMinor - salvage - cost.customerTotalMinor) },
  ]);
}

const COSTS_MORE_THAN_MONEY = new Set<Remedy>(['refund', 'part', 'unit', 'visit']);

function customerLine(totalMinor: number): AmountLine[] {
  if (totalMinor === 0) return [];
  return [
    {
      id: 'customer',
      says: 'To the customer',
      amountMinor: totalMinor,
      working: 'as a person decided',
      about: 'claim',
    },
  ];
}

/** Salvage never brings a cost below nothing (49 CFR 370.11 credits the proceeds). */
function withoutExcessSalvage(lines: readonly AmountLine[]): AmountLine[] {
  const excess = -sum(lines);
  if (excess <= 0) return [...lines];
  return lines.map((line) =>
    line.id === 'salvage'
      ? { ...line, amountMinor: line.amountMinor + excess, working: `${line.working}, no more than it cost` }
      : line,
  );
}

function shared(costMinor: number, responsibility: readonly Responsibility[]): Responsibility[] {
  if (responsibility.length === 0) return [];
  const weights = responsibility.map((matter) => Math.max(0, matter.costMinor));
  const parts = splitByWeight(costMinor, weights.some((weight) => weight > 0) ? weights : weights.map(() => 1));
  return responsibility.map((matter, index) => {
    const cost = parts[index] ?? 0;
    const bps = matter.shares.map(({ bp }) => bp);
    const amounts = bps.length === 0 ? [] : splitByWeight(cost, bps);
    return {
      ...matter,
      costMinor: cost,
      amounts: matter.shares.map(({ party }, at) => ({ party, amountMinor: amounts[at] ?? 0 })),
    };
  });
}

function sum(lines: readonly AmountLine[]): number {
  return lines.reduce((total, { amountMinor }) => total + amountMinor, 0);
}
