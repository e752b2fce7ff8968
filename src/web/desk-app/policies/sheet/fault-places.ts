import type { FindingSeverity, PolicyFinding } from '../../../../policies/analysis.contract.js';
import type { PolicyDocument, PolicyFault } from '../../../../policies/policies.contract.js';
import { rowOfClock } from './clock-grid.js';
import { OTHERWISE } from './decision-grid.js';
import type { EditPlace } from './draft-history.js';
import { rowOfFact } from './fact-grid.js';
import { rowOfParameter } from './parameter-grid.js';
import { decisionOf, gridOf, partOfDecision } from './sheet-parts.js';

/** How much something matters: what cannot be read stops everything, the rest is what the analysis calls it. */
export type Weight = 'unread' | FindingSeverity;

/** One thing that is wrong, or worth knowing, with the cell that it leads to. */
export interface Concern {
  readonly weight: Weight;
  readonly place: EditPlace;
  /** One sentence. */
  readonly says: string;
  /** Characters of the cell that it is about, end exclusive. */
  readonly from?: number | undefined;
  readonly to?: number | undefined;
  readonly finding?: PolicyFinding;
}

/** Why a document cannot run, each with the cell that it is about. */
export function concernsOfFaults(document: PolicyDocument, faults: readonly PolicyFault[]): readonly Concern[] {
  return faults.map((fault) => ({
    weight: 'unread',
    place: placeOfFault(document, fault),
    says: fault.detail,
    from: fault.from,
    to: fault.to,
  }));
}

/** What the analysis found, each with the row or cell to look at first. */
export function concernsOfFindings(document: PolicyDocument, findings: readonly PolicyFinding[]): readonly Concern[] {
  return findings.map((finding) => {
    const { severity, detail, from, to, decision, column, rules } = finding;
    const rule = rules[0];
    const place = placeOfFault(document, {
      detail,
      ...(decision === undefined ? {} : { decision }),
      ...(rule === undefined ? {} : { rule }),
      ...(column === undefined ? {} : { column }),
    });
    return { weight: severity, place, says: detail, from, to, finding };
  });
}

/** The cell, row or part of the sheet that a fault is about, as exact as it says. */
export function placeOfFault(document: PolicyDocument, fault: PolicyFault): EditPlace {
  const { decision } = fault;
  if (decision !== undefined && document.decisions.some(({ id }) => id === decision))
    return placeInDecision(document, partOfDecision(decision), fault);
  return placeInWords(document, fault.detail);
}

function placeInDecision(document: PolicyDocument, part: string, fault: PolicyFault): EditPlace {
  const rules = decisionOf(document, part)?.table?.rules ?? [];
  const row = fault.rule === OTHERWISE ? rules.length : rules.findLastIndex(({ id }) => id === fault.rule);
  if (fault.rule === undefined || row < 0) return { part };
  const column = gridOf(document, part)?.columns.findIndex(({ id }) =>
    fault.outcome === undefined ? id === fault.column : id === `gives ${fault.outcome}`,
  );
  return column === undefined || column < 0 ? { part, row } : { part, row, column };
}

/** Faults outside of decisions say where they are in words, from the whole to the part. */
function placeInWords(document: PolicyDocument, detail: string): EditPlace {
  const [way = ''] = detail.split(': ');
  const [head, name = '', ...rest] = way.split(' \u203a ');
  switch (head) {
    case 'parameters': {
      const values = document.parameters[name]?.values ?? [];
      // By the day of the value, or by its number.
      const [step = '', number = ''] = rest;
      const from = step === 'values' ? values[Number(number) - 1]?.from : step;
      return withRow('parameters', rowOfParameter(document, name, from));
    }
    case 'facts':
      return withRow('facts', rowOfFact(document, name));
    case 'clocks':
      return withRow('clocks', rowOfClock(document, name));
    case 'examples':
      return { part: 'examples' };
    case 'decisions':
      return placeInDecision(document, partOfDecision(name), { detail });
    default:
      return twiceUsed(document, detail) ?? { part: 'about' };
  }
}

function withRow(part: string, row: number | undefined): EditPlace {
  return row === undefined ? { part } : { part, row };
}

/** The later of two rules of one id. */
function twiceUsed(document: PolicyDocument, detail: string): EditPlace | undefined {
  const id = /^The rule id "(.+)" is used more than once/.exec(detail)?.[1];
  if (id === undefined) return undefined;
  for (const decision of document.decisions.toReversed()) {
    const row = decision.table?.rules.findLastIndex((rule) => rule.id === id) ?? -1;
    if (row >= 0) return { part: partOfDecision(decision.id), row, column: 0 };
  }
  return undefined;
}

/** What concerns a row of a part: the gravest weight, and the columns whose cells cannot be read. */
export interface RowConcern {
  readonly weight: Weight;
  readonly unread: readonly number[];
}

const ORDER: readonly Weight[] = ['unread', 'error', 'warning', 'information'];

/** Concerns of a part by row; what is only worth knowing marks no row. */
export function concernsByRow(concerns: readonly Concern[], part: string): ReadonlyMap<number, RowConcern> {
  const rows = new Map<number, RowConcern>();
  for (const { place, weight } of concerns) {
    if (place.part !== part || place.row === undefined || weight === 'information') continue;
    const { weight: before = weight, unread = [] } = rows.get(place.row) ?? {};
    rows.set(place.row, {
      weight: ORDER.indexOf(before) < ORDER.indexOf(weight) ? before : weight,
      unread: weight === 'unread' && place.column !== undefined ? [...unread, place.column] : unread,
    });
  }
  return rows;
}

/** The gravest first; what is alike stays in its order. */
export function byWeight(concerns: readonly Concern[]): readonly Concern[] {
  return concerns.toSorted((a, b) => ORDER.indexOf(a.weight) - ORDER.indexOf(b.weight));
}
