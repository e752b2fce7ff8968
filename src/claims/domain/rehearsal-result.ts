import type { PartyEffect, RehearsalResult, RehearsedRegion, Turn } from '../../policies/rehearsals.contract.js';
import type { RehearsalTotals, StretchTotals } from './rehearsal-totals.js';

/** Most rows of each table of a result; what is left out is small beside what is shown. */
const MOST_ROWS = 500;

/** Puts the sums of a rehearsal into the shape in which people read them. @param regions of the difference, by their places */
export function rehearsalResult(
  sums: RehearsalTotals,
  around: { readonly regions: readonly Omit<RehearsedRegion, 'claims'>[]; readonly cautions: readonly string[] },
): RehearsalResult {
  const totals = sums.toJSON();
  const inRegion = new Map(totals.regions);
  return {
    format: 'rehearsal/1',
    claims: totals.claims,
    changed: totals.changed,
    kinds: Object.fromEntries(totals.kinds),
    money: totals.money.map(([currency, was = 0, becomes = 0, costWas = 0, costBecomes = 0, more = 0, less = 0]) => ({
      currency,
      customerWasMinor: was,
      customerBecomesMinor: becomes,
      costWasMinor: costWas,
      costBecomesMinor: costBecomes,
      more,
      less,
    })),
    remedies: turns(totals.remedies),
    responsible: turns(totals.responsible),
    holds: turns(totals.holds),
    whom: {
      retailer: effects(totals.retailer),
      carrier: effects(totals.carrier),
      maker: effects(totals.maker),
    },
    problems: totals.problems
      .map(([problem, claims]) => ({ problem, claims }))
      .sort((a, b) => b.claims - a.claims)
      .slice(0, MOST_ROWS),
    regions: around.regions
      .map((region, place) => ({ ...region, claims: inRegion.get(place) ?? 0 }))
      .sort((a, b) => b.claims - a.claims),
    cautions: around.cautions,
  };
}

function turns(rows: StretchTotals['remedies']): Turn[] {
  return rows
    .map(([key, claims, amounts]) => {
      const [was = '', becomes = ''] = JSON.parse(key) as string[];
      const money = amounts.map(([currency, customerDeltaMinor = 0]) => ({ currency, customerDeltaMinor }));
      return { was, becomes, claims, money };
    })
    .sort((a, b) => b.claims - a.claims || (a.was + a.becomes < b.was + b.becomes ? -1 : 1))
    .slice(0, MOST_ROWS);
}

function effects(rows: StretchTotals['retailer']): PartyEffect[] {
  return rows
    .map(([name, claims, changed, amounts]) => ({
      name,
      claims,
      changed,
      money: amounts.map(([currency, customerDeltaMinor = 0, demandDeltaMinor = 0]) => ({
        currency,
        customerDeltaMinor,
        demandDeltaMinor,
      })),
    }))
    .sort((a, b) => b.changed - a.changed || b.claims - a.claims || (a.name < b.name ? -1 : 1))
    .slice(0, MOST_ROWS);
}
