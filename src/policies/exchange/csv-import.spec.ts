import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { shippedPolicy } from '../../../tests/support/shipped-policy.js';
import { smallDocument, rule } from '../../../tests/support/small-policy.js';
import { csvLine, readCsv } from '../domain/csv-line.js';
import { compilePolicy, type PolicyDocument } from '../policies.contract.js';
import { toCsv } from './csv-export.js';
import { fromCsv } from './csv-import.js';

const SMALL = smallDocument([
  {
    id: 'share',
    gives: {
      party: { type: 'enum', values: ['carrier', 'maker'], list: true },
      papers: { type: 'enum', values: ['a', 'b'], list: true },
    },
    table: {
      hit: 'collect',
      columns: { part: 'part', d: 'days' },
      rules: [
        rule('S-1', { part: '"carton"' }, { party: 'carrier', papers: 'a' }),
        rule('S-2', { d: '> 3' }, { party: 'maker', papers: 'b' }),
      ],
      otherwise: { party: ['maker'], papers: [] },
    },
  },
]);

/** The document with every rule and every parameter value taken out, to see that all of it comes from the file. */
function emptied(document: PolicyDocument): PolicyDocument {
  return {
    ...document,
    caution: 'Another one.',
    decisions: document.decisions.map((one) => (one.table ? { ...one, table: { ...one.table, rules: [] } } : one)),
    parameters: Object.fromEntries(
      Object.entries(document.parameters).map(([name, one]) => [name, { ...one, values: one.values.slice(0, 1) }]),
    ),
  };
}

function read(text: string, base: PolicyDocument): PolicyDocument {
  const outcome = fromCsv(text, base);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.faults));
  return outcome.document;
}

function faultsOf(text: string, base = SMALL): string[] {
  const outcome = fromCsv(text, base);
  return outcome.ok ? [] : outcome.faults.map(({ line, detail }) => `${line}: ${detail}`);
}

describe('comma-separated values', () => {
  it('are read as another reader of RFC 4180 reads them (csv-parse of npm), with the line of each record', () => {
    const field = fc.string({ unit: fc.constantFrom('a', ',', '"', '\n', ' ', "'", '-', '5') });
    fc.assert(
      fc.property(
        fc.array(fc.array(field, { minLength: 2, maxLength: 4 }), { minLength: 1, maxLength: 5 }),
        (lines) => {
          const text = lines.map(csvLine).join('');
          const mine = readCsv(text);
          const theirs = parse(text, { relaxColumnCount: true, skipEmptyLines: false, info: true }) as unknown as {
            readonly record: string[];
          }[];
          expect(mine.faults).toEqual([]);
          expect(mine.records.map(({ fields }) => fields)).toEqual(theirs.map(({ record }) => record));
        },
      ),
    );
    const { records } = readCsv('a,"b\nc"\r\nd,e\n');
    expect(records.map(({ line }) => line)).toEqual([1, 3]);
  });

  it('that break off in a quotation, or go on behind one, are refused with the line', () => {
    expect(readCsv('a,b\n"c,d').faults).toEqual([
      { line: 2, detail: 'A quotation mark opens here and is not closed.' },
    ]);
    expect(readCsv('"a"b,c').faults.map(({ line }) => line)).toEqual([1]);
  });
});

describe('tables from comma-separated values', () => {
  it.each(['us', 'eu', 'uk'] as const)('bring back every rule and value of the shipped policy %s', (name) => {
    const { document } = shippedPolicy(name);
    expect(read(toCsv(document), emptied(document))).toEqual(document);
  });

  it('take semicolons, LF, a byte-order mark and columns in another order', () => {
    const text = `\uFEFF${[
      'policy;small;A policy for tests',
      'decision;share;share;collect',
      'papers;party;because;days (d);part;rule;overrides;source',
      'a;carrier;why;> 3;"""leg""";N-1;;law',
      'a, b;maker;;;;otherwise;;',
    ].join('\n')}`;
    const table = read(text, SMALL).decisions[0]?.table;
    const wanted = rule('N-1', { part: '"leg"', d: '> 3' }, { party: 'carrier', papers: 'a' });
    expect(table?.rules).toEqual([{ ...wanted, because: 'why', source: 'law' }]);
    expect(table?.otherwise).toEqual({ party: ['maker'], papers: ['a', 'b'] });
  });

  it('say which tables the file leaves as they are, and where a rule stands that does not run', () => {
    const bad = toCsv(SMALL).replace('""carton""', 'carton');
    const outcome = fromCsv(bad, SMALL);
    if (!outcome.ok) throw new Error('the file is refused');
    const compiled = compilePolicy(outcome.document);
    const [fault] = compiled.ok ? [] : compiled.faults;
    const lines = bad.split('\r\n');
    expect(lines[(outcome.lineOf(fault?.decision, fault?.rule) ?? 0) - 1]).toMatch(/^S-1,/);
    const none = fromCsv('policy,small,x\r\n', SMALL);
    expect(none.ok && none.notices[0]).toBe('The file says nothing of share; it stays as it is.');
  });

  it.each([
    ['', '1: The first line must begin with "policy" and the id of the policy.'],
    ['policy,other,x\n', '1: The file is of the policy "other", not of "small".'],
    [
      'policy,small,x\n\nnonsense,1\n',
      '3: A block begins with "policy", "decision" or "parameter"; this one begins with "nonsense".',
    ],
    ['policy,small,x\n\ndecision,thing,t,first\nrule\n', '3: The policy has no decision "thing".'],
    [
      'policy,small,x\n\nparameter,from,value,unit,because,source\nnotice days,2024-01-01,3.5,,,\n',
      '4: notice days is a whole number; "3.5" is none.',
    ],
    [
      'policy,small,x\n\nparameter,from,value,unit,because,source\nnotice days,1 May 2024,3,,,\n',
      '4: "1 May 2024" is no date such as 2026-03-01.',
    ],
    [
      'policy,small,x\n\nparameter,from,value,unit,because,source\nnone such,2024-01-01,3,,,\n',
      '4: The policy has no parameter "none such".',
    ],
  ])('are refused with a line and a reason: %j', (text, fault) => {
    expect(faultsOf(text)).toContain(fault);
  });

  it('refuse rows that are wrong, each by its line', () => {
    const head =
      'policy,small,x\n\ndecision,share,share,collect\nrule,part,days (d),party,papers,overrides,because,source\n';
    expect(faultsOf(`${head}S-1,-,-,nobody,a,,,\n`)).toEqual(['5: "nobody" is not a value of party.']);
    expect(faultsOf(`${head}S-1,-,-,maker,a,,,\nS-1,-,-,maker,a,,,\n`)).toEqual([
      '6: The rule S-1 stands in this table twice.',
    ]);
    expect(faultsOf(`${head},-,-,maker,a,,,\n`)[0]).toMatch(/^5: The row has no rule id/);
    expect(faultsOf(`${head}S-1,-,-,maker,a,,two,three,four\n`)[0]).toMatch(/^5: The row has 9 fields/);
    expect(faultsOf(`${head}otherwise,-,> 3,maker,a,,,\n`)[0]).toMatch(/^5: "otherwise" of share has no conditions/);
    expect(faultsOf(head.replace('days (d)', 'hours'))).toHaveLength(2);
  });
});
