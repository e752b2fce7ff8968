import { describe, expect, it } from 'vitest';
import type { ModelTable } from '../../../tests/support/evidence-models.js';
import { modelOf, OPENER, OPEN_BAR, seededNumbers } from '../../../tests/support/evidence-models.js';
import { findings } from './findings.js';
import { nextChecks } from './next-checks.js';

/**
 * A second reckoning of the same definitions, written as a child would: list every way the world could be, with its
 * probability, and count. No logarithms of likelihoods, no updating, no shared code.
 */
type World = {
  readonly explanation: string;
  readonly shows: Readonly<Record<string, boolean>>;
  readonly chance: number;
};
type Seen = Readonly<Record<string, boolean>>;

function worlds(table: ModelTable): World[] {
  const names = Object.keys(table.priors);
  const priorSum = names.reduce((sum, name) => sum + (table.priors[name] ?? 0), 0);
  let all: World[] = names.map((explanation) => ({
    explanation,
    shows: {},
    chance: (table.priors[explanation] ?? 0) / priorSum,
  }));
  for (const [sign, row] of Object.entries(table.likelihoods))
    all = all.flatMap((world) => {
      const p = row[names.indexOf(world.explanation)] ?? Number.NaN;
      return [
        { ...world, shows: { ...world.shows, [sign]: true }, chance: world.chance * p },
        { ...world, shows: { ...world.shows, [sign]: false }, chance: world.chance * (1 - p) },
      ];
    });
  return all;
}

/** Of each group the seen sign whose chances differ most between explanations; the rest is struck out. */
function counted(table: ModelTable, seen: Seen): Seen {
  const spread = (sign: string): number => {
    const row = (table.likelihoods[sign] ?? []).map((p) => (seen[sign] === true ? p : 1 - p));
    return Math.max(...row) / Math.min(...row);
  };
  return Object.fromEntries(
    Object.entries(seen).filter(([sign]) => {
      const group = table.groups?.[sign];
      return !Object.keys(seen).some(
        (other) =>
          group !== undefined && other !== sign && table.groups?.[other] === group && spread(other) > spread(sign),
      );
    }),
  );
}

function share(all: readonly World[], test: (world: World) => boolean): number {
  return all.filter(test).reduce((sum, world) => sum + world.chance, 0);
}

function fits(world: World, seen: Seen): boolean {
  return Object.entries(seen).every(([sign, shows]) => world.shows[sign] === shows);
}

function posteriorOf(all: readonly World[], names: readonly string[], seen: Seen): number[] {
  const evidence = share(all, (world) => fits(world, seen));
  return names.map((name) => share(all, (world) => world.explanation === name && fits(world, seen)) / evidence);
}

function bits(probabilities: readonly number[]): number {
  return probabilities.reduce((sum, p) => (p > 0 ? sum + p * Math.log2(1 / p) : sum), 0);
}

/** Probability, if `name` is true, of counted signs that are together at most as likely as those seen. */
function tailOf(table: ModelTable, name: string, seen: Seen): number {
  const column = Object.keys(table.priors).indexOf(name);
  let outcomes: { chance: number; isSeen: boolean }[] = [{ chance: 1, isSeen: true }];
  for (const [sign, shows] of Object.entries(seen)) {
    const p = table.likelihoods[sign]?.[column] ?? Number.NaN;
    outcomes = outcomes.flatMap((one) => [
      { chance: one.chance * p, isSeen: one.isSeen && shows },
      { chance: one.chance * (1 - p), isSeen: one.isSeen && !shows },
    ]);
  }
  const observed = outcomes.find((one) => one.isSeen)?.chance ?? Number.NaN;
  return outcomes.filter((one) => one.chance <= observed * (1 + 1e-9)).reduce((sum, one) => sum + one.chance, 0);
}

function randomCase(seed: number): { table: ModelTable; seen: Seen } {
  const next = seededNumbers(seed * 7919 + 1);
  const names = ['a', 'b', 'c', 'd', 'e'].slice(0, 2 + Math.floor(next() * 4));
  const signs = ['s1', 's2', 's3', 's4', 's5', 's6', 's7'].slice(0, 1 + Math.floor(next() * 7));
  const table: ModelTable = {
    priors: Object.fromEntries(names.map((name) => [name, 0.05 + next() * 4])),
    likelihoods: Object.fromEntries(signs.map((sign) => [sign, names.map(() => 0.01 + next() * 0.98)])),
    groups: Object.fromEntries(signs.flatMap((sign) => (next() < 0.4 ? [[sign, next() < 0.5 ? 'g' : 'h']] : []))),
    effortSeconds: Object.fromEntries(signs.map((sign) => [sign, 1 + Math.floor(next() * 100)])),
  };
  const seen = Object.fromEntries(signs.flatMap((sign) => (next() < 0.6 ? [[sign, next() < 0.5]] : [])));
  return { table, seen };
}

describe('600 random models against a table of every possible world', () => {
  const cases = Array.from({ length: 600 }, (_, seed) => ({ seed, ...randomCase(seed) }));

  function found(table: ModelTable, seen: Seen) {
    const model = modelOf(table);
    const observations = {
      present: [OPENER, ...Object.keys(seen).filter((sign) => seen[sign] === true)],
      absent: Object.keys(seen).filter((sign) => seen[sign] === false),
    };
    const [finding] = findings(model, observations, OPEN_BAR);
    if (finding === undefined) throw new Error('no finding');
    return { finding, checks: nextChecks(model, observations, OPEN_BAR) };
  }

  it('gives the same posterior and the same entropy', () => {
    for (const { seed, table, seen } of cases) {
      const names = Object.keys(table.priors);
      const expected = posteriorOf(worlds(table), names, counted(table, seen));
      const { finding } = found(table, seen);
      for (const one of finding.explanations)
        expect(one.probability, `seed ${seed}`).toBeCloseTo(expected[names.indexOf(one.id)] ?? Number.NaN, 9);
      expect(finding.entropyBits, `seed ${seed}`).toBeCloseTo(bits(expected), 9);
    }
  });

  it('gives the same weight of every counted observation', () => {
    for (const { seed, table, seen } of cases) {
      const names = Object.keys(table.priors);
      const all = worlds(table);
      const { finding } = found(table, seen);
      const leader = names.indexOf(finding.explanations[0]?.id ?? '');
      const odds = (signs: Seen): number => {
        const p = posteriorOf(all, names, signs)[leader] ?? Number.NaN;
        return p / (1 - p);
      };
      const counting = counted(table, seen);
      const weighed = finding.evidence.filter((one) => one.counted && one.observation !== OPENER);
      expect(weighed.map((one) => one.observation).sort(), `seed ${seed}`).toEqual(Object.keys(counting).sort());
      for (const one of weighed) {
        const without = Object.fromEntries(Object.entries(counting).filter(([sign]) => sign !== one.observation));
        expect(one.decibans, `seed ${seed}`).toBeCloseTo(10 * Math.log10(odds(counting) / odds(without)), 6);
      }
    }
  });

  it('gives the same tail of surprise', () => {
    let interesting = 0;
    for (const { seed, table, seen } of cases) {
      const { finding } = found(table, seen);
      const leader = finding.explanations[0]?.id ?? '';
      // The opener is as likely as not whatever is true, so it leaves the tail as it is.
      const expected = tailOf(table, leader, counted(table, seen));
      expect(finding.surpriseTail, `seed ${seed}`).toBeCloseTo(expected, 9);
      if (expected < 0.9) interesting += 1;
    }
    expect(interesting).toBeGreaterThan(100);
  });

  it('expects the same fall in entropy of every check, and orders them by it per second', () => {
    let compared = 0;
    for (const { seed, table, seen } of cases) {
      const names = Object.keys(table.priors);
      const all = worlds(table);
      const now = posteriorOf(all, names, counted(table, seen));
      const expected = new Map<string, number>();
      for (const [sign, row] of Object.entries(table.likelihoods)) {
        if (sign in seen) continue;
        const after = [true, false].map((shows) => {
          const chance = now.reduce((sum, p, e) => sum + p * (shows ? (row[e] ?? 0) : 1 - (row[e] ?? 0)), 0);
          return chance * bits(posteriorOf(all, names, counted(table, { ...seen, [sign]: shows })));
        });
        expected.set(sign, bits(now) - (after[0] ?? 0) - (after[1] ?? 0));
      }
      const { checks } = found(table, seen);
      for (const check of checks) {
        expect(check.expectedBits, `seed ${seed}`).toBeCloseTo(expected.get(check.observation) ?? Number.NaN, 9);
        expect(check.bitsPerSecond).toBe(check.expectedBits / check.effortSeconds);
        compared += 1;
      }
      const worth = [...expected].filter(([, fall]) => fall > 1e-9).map(([sign]) => sign);
      expect(checks.map((one) => one.observation)).toEqual(expect.arrayContaining(worth));
      const speeds = checks.map((one) => one.bitsPerSecond);
      expect(speeds).toEqual([...speeds].sort((a, b) => b - a));
    }
    expect(compared).toBeGreaterThan(300);
  });
});
