import type { SignWorth, SubjectStudy } from '../../../diagnosis/study.contract.js';

/** Below this a sign does not even double the odds: 10·log10 2. */
const DOUBLES = 3.01;

/** Signs that double the odds of no explanation of anything, seen or not there; each once. */
export function idleSigns(studies: readonly SubjectStudy[]): SignWorth[] {
  const most = new Map<string, SignWorth>();
  for (const sign of studies.flatMap(({ signs }) => signs)) {
    const before = most.get(sign.observation);
    if (before === undefined || before.mostDecibans < sign.mostDecibans) most.set(sign.observation, sign);
  }
  return [...most.values()].filter(({ mostDecibans }) => mostDecibans < DOUBLES);
}
