import type { FindingKind, FindingSeverity, RegionPart } from '../../analysis.contract.js';
import type { Facts, OutcomeValue, PolicyDocument, PolicyExample, PolicyRule } from '../../policies.contract.js';
import type { FoundClaim } from './claim-finder.js';
import { cellText, conditionWords, listed } from './column-words.js';
import { boxAtoms, type DecisionSpace } from './decision-space.js';
import type { Box } from './space.js';

/** A finding of one period, before those of all periods are put together. */
export interface FindingDraft {
  readonly kind: FindingKind;
  readonly severity: FindingSeverity;
  readonly decision?: string;
  readonly rules: readonly string[];
  readonly column?: string;
  readonly from?: number;
  readonly to?: number;
  readonly detail: string;
  readonly region?: readonly RegionPart[];
  readonly claim?: FoundClaim;
  readonly expect?: PolicyExample['expect'];
  /** True for a count over a whole table, of which the newest is enough. */
  readonly isSummary?: boolean;
}

/** Where a box is, in words that follow "when": `defect is frame and days is 8 to 730`; `anything is the case` for everything. */
export function regionWords(space: DecisionSpace, box: Box): string {
  const conditions = boxAtoms(space, box).map(({ axis, atoms }) => conditionWords(space.columns[axis]!, atoms));
  return conditions.length === 0 ? 'anything is the case' : listed(conditions, 'and');
}

/** Where a box is, as cells by column. */
export function regionPart(space: DecisionSpace, box: Box): RegionPart {
  return Object.fromEntries(
    boxAtoms(space, box).map(({ axis, atoms }) => {
      const column = space.columns[axis]!;
      return [column.axis.column, cellText(column, atoms)];
    }),
  );
}

/** Facts in words: `defect frame, noted false, days since delivery 8`. */
export function factWords(given: Facts): string {
  const said = Object.entries(given).map(([name, value]) => `${name} ${valueWords(value)}`);
  return said.length === 0 ? 'any claim' : said.join(', ');
}

/** A value in words; null is `absent`. */
export function valueWords(value: OutcomeValue): string {
  return value === null ? 'absent' : String(value);
}

/** Outcomes in words: `responsible carrier, remedy allowance`. */
export function outcomeWords(then: Readonly<Record<string, OutcomeValue>>): string {
  return Object.entries(then)
    .map(([name, value]) => `${name} ${valueWords(value)}`)
    .join(', ');
}

/** A rule of a decision by its place. */
export function ruleOf(document: PolicyDocument, decision: string, place: number): PolicyRule | undefined {
  return document.decisions.find(({ id }) => id === decision)?.table?.rules[place];
}
