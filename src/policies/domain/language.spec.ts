import { describe, expect, it } from 'vitest';
import { cellFault, expressionFault, holds, value } from '../../../tests/support/small-policy.js';
import type { FactType, Facts } from '../policies.contract.js';

const decimal: FactType = { type: 'decimal' };
const boolean: FactType = { type: 'boolean' };

// The cell forms are the unary tests of FEEL, the expression language of OMG DMN; where this dialect is stricter a row says so.
describe('cells', () => {
  it.each<[string, string, Facts, boolean]>([
    ['part', '-', { part: 'leg' }, true],
    ['part', '"leg"', { part: 'leg' }, true],
    ['part', '"leg"', { part: 'motor' }, false],
    ['part', '"leg", "motor"', { part: 'motor' }, true],
    ['part', 'not("leg", "motor")', { part: 'carton' }, true],
    ['part', 'not("leg", "motor")', { part: 'motor' }, false],
    ['part', '!= "leg"', { part: 'motor' }, true],
    ['spoken', '"A"', { spoken: 'a' }, false],
    ['spoken', String.raw`"say \"no\""`, { spoken: 'say "no"' }, true],
    ['noted', 'true', { noted: true }, true],
    ['noted', 'false', { noted: true }, false],
    ['noted', '? = (days > 3)', { noted: true, days: 4 }, true],
    ['days', '5', { days: 5 }, true],
    ['days', '1, 5', { days: 5 }, true],
    ['days', '1, 5', { days: 3 }, false],
    ['days', '< 5', { days: 5 }, false],
    ['days', '<= 5', { days: 5 }, true],
    ['days', '> -5', { days: -4 }, true],
    ['days', '>= 5', { days: 5 }, true],
    ['days', '= 5', { days: 5 }, true],
    ['days', '[1..5]', { days: 5 }, true],
    ['days', '[1..5)', { days: 5 }, false],
    ['days', '(1..5]', { days: 1 }, false],
    ['days', ']1..5[', { days: 1 }, false],
    ['days', ']1..5[', { days: 4 }, true],
    ['days', 'not([1..5], 9)', { days: 9 }, false],
    ['days', 'not([1..5], 9)', { days: 7 }, true],
    ['days', '(2 + 3) * 2', { days: 10 }, true],
    ['days', '(days..days + 1]', { days: 10 }, false],
    ['days', '? > 3 and ? < 9', { days: 4 }, true],
    ['days', '<= notice days', { days: 3 }, true],
    ['days', '<= notice days', { days: 4 }, false],
    ['days', '<= notice   days + 1', { days: 4 }, true],
    ['part price / price paid', '<= 0.4', { 'part price': '48.00', 'price paid': '120.00' }, true],
    ['part price / price paid', '<= 0.4', { 'part price': '48.01', 'price paid': '120.00' }, false],
    ['delivered on', '>= @"2015-04-18"', { 'delivered on': '2015-04-18' }, true],
    ['delivered on', '[date("2024-02-29")..@"2024-03-01")', { 'delivered on': '2024-03-01' }, false],
  ])('%s: %s with %j is %s', (column, cell, facts, expected) => {
    expect(holds(column, cell, facts)).toBe(expected ? 'yes' : 'no');
  });

  it('reads a dated parameter on the day that governs, with half-open periods', () => {
    expect(holds('days', '<= notice days', { days: 5 }, '2026-06-30')).toBe('no');
    expect(holds('days', '<= notice days', { days: 5 }, '2026-07-01')).toBe('yes');
  });
});

describe('faults that an analyst understands', () => {
  it.each([
    ['part', 'carton', 'This is text: write "carton" with quotes.', 'carton'],
    ['part', 'not(carton, "leg")', 'This is text: write "carton" with quotes.', 'carton'],
    ['part', '"legs"', '"legs" is not among carton, leg, motor.', '"legs"'],
    ['part', '"leg', 'This text has no closing quote.', '"'],
    ['part', '\u201cleg\u201d', 'Write text in straight double quotes, like "carton".', '\u201c'],
    ['part', '< "leg"', 'Text has no order; only numbers and dates can be smaller or larger.', '< "leg"'],
    ['part', '', 'The cell is empty; write - or leave the column out where anything matches.', ''],
    ['days', 'soon', 'There is no fact, parameter or earlier outcome named soon.', 'soon'],
    ['days', '1,5', 'A comma means "or". Write 1.5 for a decimal, or "1, 5" with a space for one or the other.', '1,5'],
    ['days', '[3..1]', 'The interval is reversed: the smaller end comes first, or nothing matches.', '[3..1]'],
    ['days', '[null..3]', 'null cannot be the end of an interval; write <= or >= for an open side.', '[null..3]'],
    ['days', '[1..3', 'Close the interval with ] (end included) or ) (end left out).', '[1..3'],
    ['days', '[1]', 'An interval has two ends with .. between them, like [1..5].', '[1]'],
    ['days', '> "5"', 'This compares a number with text, which can never hold. Write numbers without quotes.', '> "5"'],
    ['days', '> 5, not(3)', 'not(…) cannot be used here. not(…) must stand around the whole cell.', 'not'],
    ['days', 'not(3), 4', 'A comma can only join the alternatives of a cell.', ', 4'],
    ['days', '> 5 6', '"6" is not expected here; the rule ends before it.', '6'],
    ['days', '<= null', 'null has no order; write null or not(null) to test for it.', '<= null'],
    ['days', '\u2264 5', 'Write <= for "at most".', '\u2264'],
    ['days', '.5', 'Write a digit before the decimal point, like 0.5.', '.'],
    ['days', '5d', 'A number runs into a letter; put a space or a sign between them.', '5d'],
    ['days', '>', 'Something is missing at the end.', ''],
    [
      'noted',
      'days > 3',
      'On a yes/no column write true, false, or "? = …" to compare with something else.',
      'days > 3',
    ],
    ['noted', '1', 'On a yes/no column write true, false, or "? = …" to compare with something else.', '1'],
    ['noted', '"true"', 'On a yes/no column write true, false, or "? = …" to compare with something else.', '"true"'],
    ['delivered on', '>= "2026-01-01"', 'This compares a date with text, which can never hold.', '>= "2026-01-01"'],
    ['delivered on', '@"2026-02-30"', 'Write a date as @"2026-03-01" or date("2026-03-01").', '@"2026-02-30"'],
    [
      'days',
      'today()',
      'today(…) cannot be used here. The caller gives the date, so that an old decision can be run again',
      'today',
    ],
    ['days', 'avg(1, 2)', 'avg(…) cannot be used here. The functions are decimal, round half up, min, max,', 'avg'],
  ])('%s: %s', (column, cell, detail, at) => {
    const fault = cellFault(column, cell);
    expect(fault.detail).toContain(detail);
    expect(fault.at).toBe(at);
  });

  it.each([
    ['days + "1"', 'A number is needed here, and this is text.', '"1"'],
    ['if noted then 1', 'An "if" needs an "else", so that there is always an answer.', ''],
    ['if days then 1 else 2', 'True or false is needed here, and this is a number.', 'days'],
    ['if noted then 1 else "none"', '"then" gives a number and "else" gives text.', 'if noted then 1 else "none"'],
    ['1 < days < 3', 'Write two comparisons joined by "and", not one chain.', '1 < days <'],
    ['decimal(days)', 'decimal(…) takes 2 values; here are 1.', 'decimal(days)'],
    ['(days', 'A bracket is opened here and not closed.', ''],
    ['?', '? stands for the value of a column and has a meaning only in a cell.', '?'],
    ['noted', 'The expression gives another type than "gives" declares.', 'noted'],
  ])('%s', (text, detail, at) => {
    const fault = expressionFault(text);
    expect(fault.detail).toContain(detail);
    expect(fault.at).toBe(at);
  });
});

describe('limits', () => {
  it('refuses long cells, many alternatives and deep nesting before they cost anything', () => {
    const many = (n: number): string => Array.from({ length: n }, (_, i) => String(i)).join(', ');
    expect(holds('days', many(200), { days: 199 })).toBe('yes');
    expect(cellFault('days', many(201)).detail).toContain('at most 200 alternatives');
    expect(cellFault('days', `5${' '.repeat(1999)}6`).detail).toContain('longer than 2000 characters');
    expect(expressionFault(`${'('.repeat(101)}1${')'.repeat(101)}`).detail).toContain('deeper than 100 levels');
    expect(expressionFault(`${'-'.repeat(150)}1`).detail).toContain('deeper than 100 levels');
    expect(value(`${'('.repeat(90)}1${')'.repeat(90)}`, decimal)).toBe('1');
  });
});

describe('exact decimals', () => {
  // Decimal answers worked by hand; each is a known trap of binary floating point.
  it.each([
    ['0.1 + 0.2 = 0.3', true],
    ['4.35 * 100 = 435', true],
    ['1.1 + 2.2 = 3.3', true],
    ['9007199254740993 = 9007199254740992', false],
    ['1 / 3 * 3 = 1', false],
  ])('%s is %s', (text, expected) => {
    expect(value(text, boolean)).toBe(expected);
  });

  it.each([
    ['round half up(1.005, 2)', '1.01'],
    ['decimal(1.005, 2)', '1'],
    ['decimal(2.675, 2)', '2.68'],
    ['decimal(0.5, 0)', '0'],
    ['decimal(1.5, 0)', '2'],
    ['decimal(-0.5, 0)', '0'],
    ['round half up(-2.5, 0)', '-3'],
    ['decimal(899.90 * 0.15, 2)', '134.98'],
    ['round half up(134.985, 2)', '134.99'],
    ['if 0.1 + 0.2 <= 0.3 then 1 else 2', '1'],
    ['floor(-1.5)', '-2'],
    ['ceiling(1.231, 2)', '1.24'],
    ['floor(1.239, 2)', '1.23'],
    ['min(3, 1, 2)', '1'],
    ['max(3, 1, 2)', '3'],
    ['abs(-2.5)', '2.5'],
    ['2 + 3 * 4 - -1', '15'],
    ['(2 + 3) * 4', '20'],
    ['7 / 2', '3.5'],
    ['1 / 3', '0.3333333333333333333333333333333333'],
  ])('%s is %s', (text, expected) => {
    expect(value(text, decimal)).toBe(expected);
  });
});

describe('null, division by zero and logic', () => {
  it.each<[string, FactType, Facts, unknown]>([
    ['1 / 0', decimal, {}, 'no rule'],
    ['part price + 1', decimal, { 'part price': null }, 'no rule'],
    ['part price + 1', { type: 'decimal', optional: true }, { 'part price': null }, null],
    ['part price = null', boolean, { 'part price': null }, true],
    ['part price != null', boolean, { 'part price': '1' }, true],
    ['part price > 1 or noted', boolean, { 'part price': null, noted: true }, true],
    ['part price > 1 and noted', boolean, { 'part price': null, noted: false }, false],
    [
      'if part price > 1 then "oak" else "white"',
      { type: 'enum', values: ['oak', 'white'] },
      { 'part price': null },
      'white',
    ],
  ])('%s', (text, type, facts, expected) => {
    expect(value(text, type, facts)).toEqual(expected);
  });

  it.each<[string, string, Facts, string]>([
    // FEEL's null: it meets not("oak") because it is not oak, and never an order, negated or not.
    ['colour', '"oak"', { colour: null }, 'no'],
    ['colour', 'not("oak")', { colour: null }, 'yes'],
    ['colour', 'null', { colour: null }, 'yes'],
    ['colour', 'not(null)', { colour: null }, 'no'],
    ['part price', '< 5', { 'part price': null }, 'no'],
    ['part price', 'not(< 5)', { 'part price': null }, 'no'],
    ['part price', '[0..5]', { 'part price': null }, 'no'],
  ])('%s: %s with %j is %s', (column, cell, facts, expected) => {
    expect(holds(column, cell, facts)).toBe(expected);
  });
});
