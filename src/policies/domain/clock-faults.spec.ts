import { describe, expect, it } from 'vitest';
import { faultsOf, oneCell, smallDocument } from '../../../tests/support/small-policy.js';
import type { ClockRule } from '../policies.contract.js';
import { compilePolicy } from './compile-policy.js';

const RIGHT: ClockRule = {
  id: 'c',
  title: 't',
  ground: 'g',
  source: 's',
  starts: 'delivered',
  length: 30,
  unit: 'calendar days',
  stops: 'filed',
  lapse: 'barred',
  owedBy: 'customer',
};
const documentWith = (changes: Record<string, unknown>): object => ({
  ...smallDocument([oneCell('days', '> 3')]),
  clocks: [{ ...RIGHT, ...changes }],
});
const faults = (changes: Record<string, unknown>): string =>
  faultsOf(documentWith(changes))
    .map(({ detail }) => detail)
    .join('\n');

describe('a clock of a policy', () => {
  it('may pause, be lengthened, repeat, have a floor and name its warnings', () => {
    const full: Partial<ClockRule> = {
      laterOf: ['installed'],
      pausedBy: 'repair requested',
      resumedBy: 'goods back',
      waitInclusive: true,
      afterWait: 7,
      extendedBy: 'repair requested',
      extension: 12,
      floor: 9,
      repeatsEvery: 60,
      warnDays: [7, 0],
      transports: ['air'],
      onceStarted: true,
    };
    const outcome = compilePolicy(documentWith({ ...full }));
    expect(outcome).toMatchObject({ ok: true, policy: { document: { clocks: [full] } } });
  });

  it.each([
    ['a pause without an end', { pausedBy: 'repair requested' }, /name both what stops the count/],
    ['an end without a pause', { resumedBy: 'goods back' }, /name both what stops the count/],
    ['days after a wait that never is', { afterWait: 7 }, /need pausedBy and resumedBy/],
    ['a wait counted inclusively that never is', { waitInclusive: true }, /need pausedBy and resumedBy/],
    ['an extension without its cause', { extension: 12 }, /name both what lengthens/],
    ['a cause without its extension', { extendedBy: 'repair requested' }, /name both what lengthens/],
    ['turns of no length', { repeatsEvery: 0 }, /repeatsEvery must be at least 1/],
    ['a warning after the end', { warnDays: [-1] }, /days cannot be below 0/],
    ['turns by a parameter that is none', { repeatsEvery: 'status days' }, /status days is not a parameter/],
    ['a floor by a parameter that is none', { floor: 'least months' }, /least months is not a parameter/],
    ['a pause by something unheard of', { pausedBy: 'dawn', resumedBy: 'dusk' }, /One of delivered/],
    ['no warnings at all in a list of them', { warnDays: [] }, /./],
  ])('is refused with %s', (_what, changes, detail) => {
    expect(faults(changes)).toMatch(detail);
  });
});
