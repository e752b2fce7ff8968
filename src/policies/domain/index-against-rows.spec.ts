import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { smallDocument } from '../../../tests/support/small-policy.js';
import type { FactType, Facts, HitPolicy, PolicyRule, PolicyTable } from '../policies.contract.js';
import { cutTable } from './atom-table.js';
import { compileDecisions } from './compile-decisions.js';
import type { CompiledTable, Decided } from './compiled-table.js';
import { EvaluationRun } from './evaluation-run.js';
import { meaningFaults } from './document-meaning.js';
import { PolicyConflict } from './policy-conflict.js';
import { ReadyDecisions, type ReadyTable } from './ready-decisions.js';
import { candidatesByRow, columnValues, type Foregone } from './run-table.js';
import { settle } from './settle-table.js';
import { Day } from './values.js';

// The oracle is the plain scan of rows, which knows nothing of atoms and bits; over facts that are not known it asks every value
// of a small domain, one at a time.
const COLOURS = ['oak', 'ash', 'elm', 'fir'];
const FACTS: Readonly<Record<string, FactType>> = {
  colour: { type: 'enum', values: COLOURS, optional: true },
  noted: { type: 'boolean' },
  days: { type: 'integer', min: 0, max: 9 },
  price: { type: 'decimal', min: '0', max: '3', scale: 1, optional: true },
  limit: { type: 'integer', min: 0, max: 9 },
  spoken: { type: 'text' },
  'delivered on': { type: 'date' },
};
const COLUMNS: Readonly<Record<string, string>> = {
  colour: 'colour',
  noted: 'noted',
  days: 'days',
  price: 'price',
  spoken: 'spoken',
  day: 'delivered on',
  ratio: 'price / days',
  sum: 'days + limit',
  either: 'if noted then "a" else "b"',
};
const VALUES: Readonly<Record<string, readonly Facts[string][]>> = {
  colour: [...COLOURS, null],
  noted: [true, false],
  days: Array.from({ length: 10 }, (_, at) => at),
  price: [...Array.from({ length: 31 }, (_, at) => (at / 10).toFixed(1)), null],
  limit: [0, 3, 9],
  spoken: ['yes', 'no', 'perhaps'],
  'delivered on': ['2025-12-31', '2026-01-01', '2026-01-02', '2026-03-31', '2026-04-01'],
};
const CELLS: Readonly<Record<string, readonly string[]>> = {
  colour: ['"oak"', '"oak", "ash"', 'not("elm")', 'null', 'not(null)', '!= "fir"', '"oak", "ash", "elm", "fir", null'],
  noted: ['true', 'false', 'not(true)', 'true, false', '? = (days > 4)'],
  days: [
    '3',
    '< 4',
    '>= 4',
    '[2..5]',
    '(2..5)',
    'not(1, 7)',
    'not([3..6])',
    '!= 5',
    '<= limit',
    '> notice days',
    '<= notice days + 1',
    '>= 0',
    '> 9',
    '? > 2 and ? < 8',
    '? < 2 or ? = limit',
    '<= 2.5',
  ],
  price: ['< 1', '>= 1.0', '(0.5..1.5]', 'null', 'not(null)', 'not(> 2)', '1.05', '<= 1.05', '[0..3]', '> 2, null'],
  spoken: ['"yes"', 'not("no")', '"yes", "no"', '!= "yes"'],
  day: [
    'date("2026-01-01")',
    '< date("2026-04-01")',
    '[date("2026-01-01")..date("2026-03-31")]',
    '> date("2026-01-01")',
  ],
  ratio: ['<= 0.5', '> 0.5', 'null', 'not([0.1..0.4])', '= 1 / 3', '< notice days / 10'],
  sum: ['< 7', '>= 7', '[3..12]', '<= 2 * notice days'],
  either: ['"a"', 'not("b")'],
};
const DAYS = ['2023-01-01', '2026-03-01', '2026-08-01'];

type Choice = Pick<PolicyTable, 'hit' | 'aggregate'>;
const CHOICES: readonly Choice[] = [
  ...(['unique', 'any', 'first', 'priority', 'rule order', 'output order', 'collect'] as const).map(
    (hit: HitPolicy) => ({
      hit,
    }),
  ),
  ...(['sum', 'min', 'max', 'count'] as const).map((aggregate) => ({ hit: 'collect' as const, aggregate })),
];

const cellsArb = fc
  .uniqueArray(fc.constantFrom(...Object.keys(COLUMNS)), { minLength: 0, maxLength: 3 })
  .chain((columns) =>
    fc
      .tuple(...columns.map((column) => fc.constantFrom(...CELLS[column]!)))
      .map((cells) => Object.fromEntries(columns.map((column, at) => [column, cells[at]!]))),
  );

interface Case {
  readonly ready: ReadyDecisions;
  readonly of: ReadyTable;
  readonly facts: Facts;
  readonly on: Day;
}

const tableArb = fc.record({
  choice: fc.constantFrom(...CHOICES),
  // More than one word of bits now and then.
  rules: fc.oneof(
    { weight: 5, arbitrary: fc.array(fc.tuple(cellsArb, fc.nat(2)), { minLength: 1, maxLength: 8 }) },
    { weight: 1, arbitrary: fc.array(fc.tuple(cellsArb, fc.nat(2)), { minLength: 33, maxLength: 70 }) },
  ),
  exceptions: fc.array(fc.tuple(fc.nat(7), fc.nat(7)), { maxLength: 3 }),
  otherwise: fc.boolean(),
});

function documentOf({
  choice,
  rules,
  exceptions,
  otherwise,
}: typeof tableArb extends fc.Arbitrary<infer T> ? T : never) {
  const lists = choice.aggregate === undefined && !['unique', 'any', 'first', 'priority'].includes(choice.hit);
  const numbers = choice.aggregate !== undefined;
  const type: FactType = numbers
    ? { type: 'integer' }
    : { type: 'enum', values: ['x', 'y', 'z'], ...(lists ? { list: true } : {}) };
  const given = (at: number) => (numbers ? at - 1 : ['x', 'y', 'z'][at]!);
  const written = rules.map(([when, at], place): PolicyRule => {
    const bases = exceptions.filter(([from, to]) => from === place && to < place).map(([, to]) => `R${to}`);
    // oxlint-disable-next-line unicorn/no-thenable -- `then` is a key of the document format; a rule is never awaited.
    return { id: `R${place}`, when, then: { out: given(at) }, overrides: [...new Set(bases)] };
  });
  const table: PolicyTable = {
    ...choice,
    columns: COLUMNS,
    rules: written,
    ...(otherwise ? { otherwise: { out: lists ? ['z'] : given(2) } } : {}),
  };
  return smallDocument([{ id: 'out', gives: { out: type }, table }], { facts: FACTS });
}

const factsArb = fc
  .tuple(
    ...Object.keys(VALUES).map((name) => fc.option(fc.constantFrom(...VALUES[name]!), { nil: undefined, freq: 3 })),
  )
  .map((values) =>
    Object.fromEntries(
      Object.keys(VALUES).flatMap((name, at) => (values[at] === undefined ? [] : [[name, values[at]!]])),
    ),
  );

const caseArb = fc.tuple(tableArb, factsArb, fc.constantFrom(...DAYS)).map(([table, facts, on]): Case => {
  const document = documentOf(table);
  const faults = meaningFaults(document);
  const ready = new ReadyDecisions(document, compileDecisions(document, faults));
  if (faults.length > 0) throw new Error(JSON.stringify(faults));
  const [decision] = ready.all;
  if (!decision || !('table' in decision)) throw new Error('no table');
  return { ready, of: decision.table, facts, on: Day.parse(on)! };
});

/** Runs every value of a fact past a cell. */
function foregoneByTrying({ ready, of, on }: Case, run: EvaluationRun): Foregone {
  return (rule, column) => {
    const fact = of.facts[column];
    if (fact === undefined || run.sheet.raw[fact] !== undefined) return undefined;
    const name = of.table.columns[column]!.name!;
    const cell = of.table.rules[rule]!.cells.find(({ place }) => place === column)!;
    // A cell that reads another fact depends on it, whatever its own column is.
    if (/limit|days >/.test(cell.text)) return undefined;
    const answers = new Set(
      VALUES[name]!.map((value) => {
        const tried = new EvaluationRun(ready, on, ready.facts.read({ [name]: value }, run.sheet));
        return cell.run(tried.lookup(name), tried.lookup);
      }),
    );
    const [answer] = answers;
    return answers.size === 1 && typeof answer === 'boolean' ? answer : undefined;
  };
}

function attempt(work: () => Decided): unknown {
  try {
    const result = work();
    if (result.kind !== 'decided') return result;
    return { kind: result.kind, rules: result.rules, outcomes: result.outcomes.written };
  } catch (error) {
    if (error instanceof PolicyConflict) return { conflict: error.rules, message: error.message };
    throw error;
  }
}

function byRow(one: Case, run: EvaluationRun, table: CompiledTable): unknown {
  const values = columnValues(table, run.lookup);
  return attempt(() => settle(table, candidatesByRow(table, run.lookup, values, foregoneByTrying(one, run))));
}

describe('800 random tables of every hit policy', () => {
  // Tables are many and of many columns; on a busy machine the default time is too short.
  it('come to the same by their index as row by row, whatever is known', { timeout: 60_000 }, () => {
    const seen = new Map<string, number>();
    fc.assert(
      fc.property(caseArb, (one) => {
        const { ready, of, facts, on } = one;
        const run = new EvaluationRun(ready, on, ready.facts.read(facts));
        const rows = byRow(one, run, of.table);
        expect(attempt(() => of.on(on).decide(run))).toEqual(rows);
        const kind = (rows as { kind?: string }).kind ?? 'conflict';
        seen.set(kind, (seen.get(kind) ?? 0) + 1);
      }),
      { numRuns: 800 },
    );
    // A generator that only ever makes one kind of case would prove nothing.
    for (const kind of ['decided', 'open', 'no rule', 'conflict']) expect(seen.get(kind), kind).toBeGreaterThan(20);
  });

  it(
    'have rows in which every value of a fact finds exactly the rules whose cells accept it',
    { timeout: 60_000 },
    () => {
      fc.assert(
        fc.property(caseArb, ({ ready, of, on }) => {
          const columns = cutTable(of.table, ready.parameters.lookupOn(on));
          for (const [place, { axis, line, accepts }] of columns.entries()) {
            const name = of.table.columns[place]!.name;
            if (!line || name === undefined) continue;
            for (const value of VALUES[name]!) {
              const run = new EvaluationRun(ready, on, ready.facts.read({ [name]: value, limit: 3 }));
              const known = run.lookup(name);
              const atom =
                value === null
                  ? axis.atoms.length - 1
                  : line.atomAt[line.placeOf(known as Parameters<typeof line.placeOf>[0])]!;
              expect(axis.atoms[atom]).toBeDefined();
              for (const { cells } of of.table.rules) {
                for (const cell of cells.filter((each) => each.place === place)) {
                  const accepted = accepts.get(cell.text);
                  if (!accepted) continue;
                  const bit = (accepted[atom >>> 5]! & (1 << (atom & 31))) !== 0;
                  expect({ cell: cell.text, value, holds: bit }).toEqual({
                    cell: cell.text,
                    value,
                    holds: cell.run(known, run.lookup),
                  });
                }
              }
            }
          }
        }),
        { numRuns: 100 },
      );
    },
  );
});
