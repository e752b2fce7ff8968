import { describe, expect, it } from 'vitest';
import { cellFault, expressionFault, holds, value } from '../../../tests/support/small-policy.js';
import type { FactType, Facts } from '../policies.contract.js';

const decimal: FactType = { type: 'decimal' };
const boolean: FactType = { type: 'boolean' };
const date: FactType = { type: 'date' };
const text: FactType = { type: 'text' };
const on = (day: string): Facts => ({ 'delivered on': day });

// FEEL of OMG DMN 1.5, chapter 10: forms that policies take from it beside the cells. Answers worked out by hand or with a calendar.
describe('expressions of policies', () => {
  it.each<[string, FactType, Facts, unknown]>([
    ['delivered on + duration("P14D")', date, on('2026-02-20'), '2026-03-06'],
    ['delivered on + @"P1M"', date, on('2026-01-31'), '2026-02-28'],
    ['delivered on + @"P1M"', date, on('2024-01-31'), '2024-02-29'],
    ['delivered on + @"P1Y"', date, on('2024-02-29'), '2025-02-28'],
    ['delivered on - @"P1M"', date, on('2026-03-31'), '2026-02-28'],
    ['delivered on + duration("PT36H")', date, on('2026-03-01'), '2026-03-02'],
    ['delivered on + 2 * duration("P1Y6M")', date, on('2026-03-01'), '2029-03-01'],
    ['(@"2026-03-01" - delivered on).days', decimal, on('2026-02-20'), '9'],
    ['(@"2026-03-01" - @"2025-03-01") / duration("P1D")', decimal, {}, '365'],
    ['years and months duration(delivered on, @"2026-03-01").months', decimal, on('2025-01-02'), '1'],
    ['years and months duration(delivered on, @"2026-03-01").years', decimal, on('2025-01-02'), '1'],
    ['delivered on.year * 100 + delivered on.month', decimal, on('2026-03-01'), '202603'],
    ['day of week(delivered on)', text, on('2026-03-01'), 'Sunday'],
    ['week of year(delivered on)', decimal, on('2026-01-01'), '1'],
    ['date(2026, 2, 28) = @"2026-02-28"', boolean, {}, true],
    ['delivered on between @"2026-03-01" and @"2026-03-31"', boolean, on('2026-03-31'), true],
    ['days in (1, 2, [5..7])', boolean, { days: 6 }, true],
    ['days in (1, 2, [5..7])', boolean, { days: 4 }, false],
    ['days in [5..7)', boolean, { days: 7 }, false],
    ['part in ("leg", "motor")', boolean, { part: 'motor' }, true],
    ['part in ["leg", "motor"]', boolean, { part: 'carton' }, false],
    ['days in > 5', boolean, { days: 6 }, true],
    ['some d in [1, 5, days] satisfies d > 6', boolean, { days: 7 }, true],
    ['every d in [1, 5, days] satisfies d > 0', boolean, { days: 0 }, false],
    ['some a in [1, 2], b in [3, 4] satisfies a * b = days', boolean, { days: 8 }, true],
    ['count([1, 2, days]) + sum([0.1, 0.2]) + mean(2, 4)', decimal, { days: 1 }, '6.3'],
    ['max(@"2026-01-01", delivered on)', date, on('2026-03-01'), '2026-03-01'],
    ['modulo(-7, 3)', decimal, {}, '2'],
    ['round half down(2.5, 0) + round up(2.1, 0) + round down(2.9, 0)', decimal, {}, '7'],
    ['not(noted) and days > 1', boolean, { noted: false, days: 2 }, true],
    ['contains(spoken, "squeak")', boolean, { spoken: 'a squeaking leg' }, true],
    ['starts with(upper case(spoken), "A SQ")', boolean, { spoken: 'a squeaking leg' }, true],
    [
      'substring(spoken, 3, 4) + substring before(spoken, " ") + substring after(spoken, "n")',
      text,
      { spoken: 'a bent leg' },
      'bentat leg',
    ],
    ['string length(spoken)', decimal, { spoken: '\u{1F40E}' }, '1'],
    ['list contains(["oak", "ash"], spoken)', boolean, { spoken: 'ash' }, true],
  ])('%s', (expression, type, facts, expected) => {
    expect(value(expression, type, facts)).toEqual(expected);
  });

  it.each<[string, string, Facts, boolean]>([
    ['delivered on', '> @"2026-03-01" - duration("P14D")', on('2026-02-16'), true],
    ['delivered on', '> @"2026-03-01" - duration("P14D")', on('2026-02-15'), false],
    ['delivered on', '[@"2026-01-01"..@"2026-01-01" + @"P1M")', on('2026-02-01'), false],
    ['days', '? in [1..3] or ? between 7 and 9', { days: 8 }, true],
    ['days', 'not(> 5, 1)', { days: 3 }, true],
    ['spoken', 'contains(?, "leg")', { spoken: 'a leg' }, true],
    ['(@"2026-03-01" - delivered on).days', '<= 14', on('2026-02-20'), true],
  ])('%s: %s with %j is %s', (column, cell, facts, expected) => {
    expect(holds(column, cell, facts)).toBe(expected ? 'yes' : 'no');
  });

  it('keeps an answer open only where what is not known can change it', () => {
    expect(value('days in (1, 2)', boolean)).toEqual(['days']);
    expect(value('some d in [1, days] satisfies d = 1', boolean)).toEqual(['days']);
    expect(value('every d in [1, 2] satisfies d < 0 and d < days', boolean)).toBe(false);
    expect(value('delivered on + duration("P1D")', date)).toEqual(['delivered on']);
    expect(value('part price in [1..2]', boolean, { 'part price': null })).toBe('no rule');
  });
});

describe('what a policy may not write is refused with a sentence', () => {
  it.each([
    ['delivered on - @"2026-01-01"', 'This is a duration of days, and a column or outcome is one number', ''],
    ['[1, 2]', 'Test the values of a list with "in", "some" or "every".', ''],
    ['days + duration("P1D")', 'A number is needed here, and this is a duration of days.', 'duration("P1D")'],
    ['delivered on > days', 'This compares a date with a number, which can never hold.', ''],
    ['duration("P1Y") > duration("P365D")', 'This compares a duration of months with a duration of days', ''],
    ['delivered on.hour', 'A date has no part named hour; its parts are year, month, day, weekday.', ''],
    ['days.year', 'A number has no part named year; it has no parts.', ''],
    [
      'duration("14 days")',
      'Write a duration as duration("P14D") for 14 days or duration("P1Y6M").',
      'duration("14 days"',
    ],
    ['days in "1"', 'This compares a number with text, which can never hold. Write numbers without quotes.', '"1"'],
    ['days in ("leg", 1)', 'This compares a number with text', '"leg"'],
    ['days in [3..1]', 'The interval is reversed', '[3..1]'],
    ['days in (1,5)', 'A comma means "or".', '1,5'],
    ['days between 1', 'After "between" and its lower end come "and" and the upper end.', ''],
    ['[1..3]', 'An interval can stand alone in a cell or after "in", and nowhere else.', '[1..3]'],
    ['count([1, "x"])', 'The values of a list are of one kind; here are a number and text.', '"x"'],
    ['count([[1], [2]])', 'A list cannot stand in a list.', '[1]'],
    ['sum("x")', 'A number is needed here, and this is text.', '"x"'],
    ['max(1, delivered on)', 'A number is needed here, and this is a date.', 'delivered on'],
    ['substring(spoken)', 'substring(…) takes 2 or 3 values; here are 1.', 'substring(spoken)'],
    ['for d in [1, 2] return d', 'Loops are not part of the rule language; "some" and "every" are.', 'for'],
    ['some d in 1..2000000 satisfies d > days', 'Write the values out as a list; counting', '2000000'],
    ['some d in [1, 2] satisfies d', 'True or false is needed here, and this is a number.', 'd'],
    ['{a: 1}', 'Values in curly brackets are not part of the rule language', '{'],
    ['now()', 'The caller gives the date', 'now'],
    ['matches(spoken, "a+")', 'Patterns are not part of the language', 'matches'],
    ['replace(spoken, "a", "b")', 'Patterns are not part of the language', 'replace'],
    ['spoken instance of string', '"instance" is not expected here', 'instance of string'],
    ['days ** 2', '"*" cannot stand here.', '*'],
    ['not(days)', 'True or false is needed here, and this is a number.', 'days'],
  ])('%s', (expression, detail, at) => {
    const fault = expressionFault(expression);
    expect(fault.detail).toContain(detail);
    if (at !== '') expect(fault.at).toBe(at);
  });

  it.each([
    ['days', '[1, 2]', 'Alternatives stand side by side without brackets, like 1, 5.', '[1, 2]'],
    ['delivered on', '> duration("P14D")', 'This compares a date with a duration of days', '> duration("P14D")'],
    ['days', '> 3 and < 5', 'Both at once is an interval, like (3..5)', 'and'],
    ['part', '"leg" or "motor"', 'True or false is needed here, and this is text.', '"leg"'],
    ['noted', 'contains(spoken, "leg")', 'On a yes/no column write true, false, or "? = …"', 'contains(spoken, "leg")'],
  ])('%s: %s', (column, cell, detail, at) => {
    const fault = cellFault(column, cell);
    expect(fault.detail).toContain(detail);
    expect(fault.at).toBe(at);
  });
});

describe('limits of the wider forms', () => {
  const many = (n: number): string => Array.from({ length: n }, (_, i) => String(i)).join(',  ');

  it('refuses long lists and calls', () => {
    expect(value(`count([${many(200)}])`, decimal)).toBe('200');
    expect(expressionFault(`count([${many(201)}])`).detail).toContain('at most 200 values');
    expect(expressionFault(`max(${many(201)})`).detail).toContain('at most 200 values');
  });

  it('refuses loops that would take too many turns when the policy is compiled, not when a claim waits', () => {
    const nested = (lists: number): string =>
      `some ${Array.from({ length: lists }, (_, i) => `v${i} in [${many(60)}]`).join(', ')} satisfies v0 = days`;
    expect(value(nested(2), boolean, { days: 59 })).toBe(true);
    expect(expressionFault(nested(3), boolean).detail).toContain('takes up to 216000 turns; at most 10000 are allowed');
  });
});
