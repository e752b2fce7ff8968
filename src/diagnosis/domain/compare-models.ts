import type { EvidenceModel, FindingBar } from '../diagnosis.contract.js';
import type { Lesson, ModelComparison } from '../learning.contract.js';
import { mcnemarExact } from './agreement.js';
import type { CompiledModel } from './compile-model.js';
import { compiled } from './compile-model.js';
import { casesOf, ReportTally, type LessonCases } from './model-report.js';
import type { ScoredCase } from './score-tally.js';

/**
 * Scores two versions of a model on the same decided claims, read one at a time. Only cases that both can be scored on count, for
 * either; the difference in accuracy is judged on the cases where one is right and the other wrong (`mcnemarExact`).
 * @throws RangeError when the models have different codes, or an observation of a lesson is both present and absent
 */
export async function compareModels(
  champion: EvidenceModel | CompiledModel,
  challenger: EvidenceModel | CompiledModel,
  lessons: AsyncIterable<Lesson> | Iterable<Lesson>,
  bar?: FindingBar,
): Promise<ModelComparison> {
  const [first, second] = [compiled(champion), compiled(challenger)];
  if (first.model.id !== second.model.id)
    throw new RangeError(`"${first.model.id}" and "${second.model.id}" are no versions of one evidence model`);
  const [firstTally, secondTally] = [new ReportTally([first], bar), new ReportTally([second], bar)];
  const wins = { both: 0, first: 0, second: 0, neither: 0 };
  for await (const lesson of lessons) {
    if (lesson.model !== first.model.id) {
      firstTally.addOther();
      secondTally.addOther();
      continue;
    }
    const [ofFirst, ofSecond] = inBoth(casesOf(first, lesson, bar), casesOf(second, lesson, bar));
    firstTally.addCases(lesson, ofFirst);
    secondTally.addCases(lesson, ofSecond);
    ofFirst.cases.forEach((one, index) => {
      const other = ofSecond.cases[index];
      if (other !== undefined) wins[winner(isRight(one), isRight(other))] += 1;
    });
  }
  return {
    format: 'evidence-comparison/1',
    champion: firstTally.report(),
    challenger: secondTally.report(),
    cases: wins.both + wins.first + wins.second + wins.neither,
    bothRight: wins.both,
    onlyChampionRight: wins.first,
    onlyChallengerRight: wins.second,
    bothWrong: wins.neither,
    mcnemarP: mcnemarExact(wins.first, wins.second),
  };
}

/** The cases whose subject both have, in the same order. */
function inBoth(first: LessonCases, second: LessonCases): [LessonCases, LessonCases] {
  const has = (one: LessonCases, subject: string): boolean =>
    one.cases.some(({ finding }) => finding.subject === subject);
  return [
    { ...first, cases: first.cases.filter(({ finding }) => has(second, finding.subject)) },
    { ...second, cases: second.cases.filter(({ finding }) => has(first, finding.subject)) },
  ];
}

function isRight({ finding, settled }: ScoredCase): boolean {
  return finding.explanations[0]?.id === settled;
}

function winner(first: boolean, second: boolean): 'both' | 'first' | 'second' | 'neither' {
  if (first) return second ? 'both' : 'first';
  return second ? 'second' : 'neither';
}
