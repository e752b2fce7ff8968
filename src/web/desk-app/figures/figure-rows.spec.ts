import { describe, expect, it } from 'vitest';
import type { Figures } from '../../../insight/insight.contract.js';
import {
  decidedRows,
  makerMonthRows,
  makerRows,
  moneyRows,
  monthRows,
  openRows,
  showHours,
  showMonth,
  showPart,
} from './figure-rows.js';

const none = { count: 0, medianHours: null, ninetiethHours: null, waiting: 0 };
const EMPTY: Figures = {
  wish: { from: '2025-03-03', until: '2026-03-02' },
  asOf: '2026-03-02T09:00:00Z',
  decided: [],
  open: [],
  times: { firstLook: none, decision: none, byMonth: [] },
  classes: [],
  overrides: [],
  money: [],
  checks: [],
  choices: { makers: [], retailers: [] },
};

describe('figures as rows', () => {
  it('have nothing to draw where nothing was counted', () => {
    expect([decidedRows(EMPTY).rows, openRows(EMPTY).rows, makerRows(EMPTY).rows, monthRows(EMPTY)]).toEqual([
      [],
      [],
      [],
      [],
    ]);
  });

  it('keep every outcome and every age, and only the grounds and states that there are', () => {
    const decided = decidedRows({ ...EMPTY, decided: [{ outcome: 'declined', ground: 'warranty', count: 4 }] });
    expect(decided.series).toEqual(['Failed in use']);
    expect(decided.rows.map(({ says, values }) => [says, ...values])).toEqual([
      ['Approved', 0],
      ['Approved in part', 0],
      ['Declined', 4],
    ]);
    const open = openRows({ ...EMPTY, open: [{ band: '3 to 6 days', state: 'proposed', count: 2 }] });
    expect(open.rows).toHaveLength(6);
    expect(open.rows[2]).toEqual({ says: '3 to 6 days', values: [2] });
  });

  it('leave a gap for a month without a decision', () => {
    const span = { count: 1, medianHours: 5, ninetiethHours: 6 };
    const byMonth = [
      { month: '2025-12', ...span },
      { month: '2026-02', ...span },
    ];
    expect(monthRows({ ...EMPTY, times: { ...EMPTY.times, byMonth } })).toEqual([
      { says: 'Dec 2025', values: [5, 6], more: [1] },
      { says: 'Jan 2026', values: [null, null], more: [0] },
      { says: 'Feb 2026', values: [5, 6], more: [1] },
    ]);
  });

  it('put the maker with most findings first, and its months under the same names', () => {
    const classes = [
      { maker: 'Alder', month: '2026-01', component: 'motor', count: 1 },
      { maker: 'Birch', month: '2026-02', component: 'carton', count: 2 },
      { maker: 'Birch', month: '2026-02', component: 'motor', count: 3 },
    ] as const;
    const makers = makerRows({ ...EMPTY, classes });
    expect(makers.series).toEqual(['Carton', 'Motor']);
    expect(makers.rows).toEqual([
      { says: 'Birch', values: [2, 3] },
      { says: 'Alder', values: [0, 1] },
    ]);
    expect(makerMonthRows({ ...EMPTY, classes }, 'Birch').rows).toEqual([
      { says: 'Jan 2026', values: [0, 0] },
      { says: 'Feb 2026', values: [2, 3] },
    ]);
  });

  it('never put two currencies into one drawing', () => {
    const line = { party: 'carrier', demands: 1, notSentMinor: 1, sentMinor: 6, recoveredMinor: 2 } as const;
    const rest = { writtenOffMinor: 1, owedMinor: 3 };
    const money = [
      { ...line, ...rest, currency: 'EUR' },
      { ...line, ...rest, currency: 'USD' },
    ];
    expect(moneyRows({ ...EMPTY, money }).map(({ currency, rows }) => [currency, rows[0]?.values])).toEqual([
      ['EUR', [2, 1, 3, 1]],
      ['USD', [2, 1, 3, 1]],
    ]);
  });

  it('are said in words that people use', () => {
    expect([0.2, 1, 5.25, 47.9, 48, 100].map(showHours)).toEqual([
      '12 min',
      '1 h',
      '5.3 h',
      '47.9 h',
      '2 days',
      '4.2 days',
    ]);
    expect(showPart(0.12345)).toBe('12.3 %');
    expect(showMonth('2026-03')).toBe('Mar 2026');
  });
});
