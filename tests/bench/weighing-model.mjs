// A made-up evidence model of any size, the same on every run, and what a crew may have seen of it. Nothing is sparse: every observation
// has its own likelihood under every explanation, which is the most that a model can ask of the arithmetic.

const COMPONENTS = ['carton', 'frame', 'leg', 'motor', 'electronics'];
const ORIGINS = ['manufacture', 'packing', 'storage', 'transit', 'unboxing', 'assembly', 'use', 'wear'];

/** Numbers from 0 to 1 that look random and are not (a linear congruential generator with the constants of Numerical Recipes). */
function chanceFrom(seed) {
  let state = seed >>> 0;
  return () => (state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0) / 2 ** 32;
}

/** An evidence model with one subject; a quarter of the observations stand in groups of two. */
export function weighingModel(explanations, observations) {
  const chance = chanceFrom(7);
  const rows = Array.from({ length: explanations }, (_, e) => ({
    id: `e-${e}`,
    subject: 'unit',
    component: COMPONENTS[e % COMPONENTS.length],
    fault: `fault ${e}`,
    origin: ORIGINS[e % ORIGINS.length],
    severity: 'functional',
    prior: 0.1 + chance(),
    grounds: 'made up',
  }));
  return {
    format: 'evidence-model/1',
    id: 'bench',
    version: 1,
    family: 'powered bed base',
    title: 'Made up',
    basis: 'made up',
    subjects: [{ id: 'unit', title: { en: 'The unit' }, opensOn: ['o-0'] }],
    explanations: rows,
    observations: Array.from({ length: observations }, (_, o) => ({
      id: `o-${o}`,
      says: `sign ${o}`,
      check: { en: `Look for sign ${o}.` },
      item: `i-${o}`,
      effortSeconds: 5 + Math.floor(60 * chance()),
      ...(o % 8 < 2 ? { group: `g-${Math.floor(o / 8)}` } : {}),
      likelihoods: Object.fromEntries(rows.map(({ id }) => [id, 0.02 + 0.96 * chance()])),
      otherwise: { unit: 0.1 },
      grounds: 'made up',
    })),
  };
}

/** For each number of checks from 1 to all, one crew that has made so many: what it saw and what it did not see. */
export function crewsOf({ observations }) {
  const chance = chanceFrom(11);
  const later = observations.slice(1).map(({ id }) => id);
  return observations.map((_, made) => {
    const mixed = later.map((id) => ({ id, place: chance() })).sort((a, b) => a.place - b.place);
    const seen = mixed.slice(0, made).map(({ id }) => ({ id, present: chance() < 0.4 }));
    return {
      present: ['o-0', ...seen.filter(({ present }) => present).map(({ id }) => id)],
      absent: seen.filter(({ present }) => !present).map(({ id }) => id),
    };
  });
}
