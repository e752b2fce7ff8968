import { describe, expect, it } from 'vitest';
import { csvOf, shownBy } from './chart-words.js';

describe('the numbers of a chart', () => {
  it('are the same in the file as in the table, with bounds and further columns', () => {
    const text = csvOf({
      title: 'Set aside by rule',
      kind: 'bars',
      rowHead: 'Rule',
      series: ['Share'],
      more: ['Set aside', 'Of'],
      file: 'rules',
      rows: [
        { says: 'shares:R1', values: [0.25], between: [0.1, 0.5], more: [1, 4] },
        { says: '=shares, too', values: [null], more: [0, 0] },
      ],
    });
    expect(text).toBe(
      'Rule,Share,low (95 %),high (95 %),Set aside,Of\r\nshares:R1,0.25,0.1,0.5,1,4\r\n"\'=shares, too",,,,0,0\r\n',
    );
  });

  it('name their unit in the file, where there is one', () => {
    const chart = { title: 'Times', kind: 'bars', rowHead: 'Time', series: ['Median'], file: 'times' } as const;
    expect(csvOf({ ...chart, unit: 'hours', rows: [{ says: 'To decision', values: [5.25] }] })).toBe(
      'Time,Median (hours)\r\nTo decision,5.25\r\n',
    );
  });

  it('say nothing of what is not known', () => {
    expect(shownBy(undefined, null)).toBe('–');
    expect(shownBy(undefined, 12345)).toBe('12,345');
    expect(shownBy((value) => `${value} days`, 3)).toBe('3 days');
  });
});
