import type { EvidenceModel, FindingBar } from '../diagnosis.contract.js';
import type { Lesson, ModelReport } from '../learning.contract.js';
import type { Family } from '../../kernel/vocabulary.js';
import type { CompiledModel } from './compile-model.js';
import { compiled } from './compile-model.js';
import { findings } from './findings.js';
import { ScoreTally, type ScoredCase } from './score-tally.js';

const NO_BAR: FindingBar = { probability: 0, marginDecibans: 0, surprise: 0, worthBits: 0 };

const BINNING =
  'Probabilities of the leading explanation in ten bins of equal width, each from its lower end up to but without its upper end, the last with 1.';

const CAUTIONS = [
  'Where a decision let the leading explanation stand, the settled explanation is the one that was proposed. Such cases speak for the model that proposed them; "named" holds only those whose explanation a person named.',
  'A model scored on the claims it was learnt from looks better than it is. Compare versions on claims that came later.',
] as const;

/**
 * Scores models on decided claims, read one at a time in bounded memory: one model per code, so that several families can be
 * reported at once. A case is one settled subject of one claim.
 * @param bar when the service may speak for itself; absent: abstention is not reported
 * @throws RangeError when two models have the same code, or an observation of a lesson is both present and absent
 */
export async function reportOn(
  models: readonly (EvidenceModel | CompiledModel)[],
  lessons: AsyncIterable<Lesson> | Iterable<Lesson>,
  bar?: FindingBar,
): Promise<ModelReport> {
  const tally = new ReportTally(models, bar);
  for await (const lesson of lessons) tally.add(lesson);
  return tally.report();
}

/** What a model says to one lesson: a case per settled subject that can be scored, and why the others cannot. */
export interface LessonCases {
  readonly cases: readonly ScoredCase[];
  readonly unknownExplanations: number;
  readonly notOpened: number;
}

/** Cases of one lesson under one model. @throws RangeError when an observation is both present and absent */
export function casesOf(model: CompiledModel, lesson: Lesson, bar: FindingBar = NO_BAR): LessonCases {
  const found = findings(model, lesson, bar);
  const cases: ScoredCase[] = [];
  let unknownExplanations = 0;
  let notOpened = 0;
  for (const [subject, settled] of Object.entries(lesson.explanations)) {
    const known = model.model.explanations.some((one) => one.subject === subject && one.id === settled);
    const finding = found.find((one) => one.subject === subject);
    if (!known) unknownExplanations += 1;
    else if (finding === undefined) notOpened += 1;
    else cases.push({ model: model.model.id, finding, settled, named: lesson.named });
  }
  return { cases, unknownExplanations, notOpened };
}

/** Adds up the lessons of a report. */
export class ReportTally {
  private readonly models: ReadonlyMap<string, CompiledModel>;
  private readonly all: ScoreTally;
  private readonly onlyNamed: ScoreTally;
  private readonly families = new Map<Family, ScoreTally>();
  private readonly lessons = { read: 0, used: 0, named: 0, otherModels: 0, unknownExplanations: 0, notOpened: 0 };

  constructor(
    models: readonly (EvidenceModel | CompiledModel)[],
    private readonly bar: FindingBar | undefined,
  ) {
    const ready = models.map(compiled);
    this.models = new Map(ready.map((one) => [one.model.id, one]));
    if (this.models.size < ready.length) throw new RangeError('two of the models have the same code');
    this.all = this.tally();
    this.onlyNamed = this.tally();
    for (const { model } of ready) this.families.set(model.family, this.families.get(model.family) ?? this.tally());
  }

  add(lesson: Lesson): void {
    const model = this.models.get(lesson.model);
    if (model === undefined) this.addOther();
    else this.addCases(lesson, casesOf(model, lesson, this.bar));
  }

  /** Counts a lesson of a model that is not reported on. */
  addOther(): void {
    this.lessons.read += 1;
    this.lessons.otherModels += 1;
  }

  /** Counts a lesson whose cases were made already. */
  addCases(lesson: Lesson, { cases, unknownExplanations, notOpened }: LessonCases): void {
    this.lessons.read += 1;
    this.lessons.unknownExplanations += unknownExplanations;
    this.lessons.notOpened += notOpened;
    if (cases.length === 0) return;
    this.lessons.used += 1;
    if (lesson.named) this.lessons.named += 1;
    const family = this.models.get(lesson.model)?.model.family;
    for (const one of cases) {
      this.all.add(one);
      if (one.named) this.onlyNamed.add(one);
      if (family !== undefined) this.families.get(family)?.add(one);
    }
  }

  report(): ModelReport {
    return {
      format: 'evidence-report/1',
      models: [...this.models.values()].map(({ model: { id, version, family } }) => ({ id, version, family })),
      bar: this.bar ?? null,
      binning: BINNING,
      lessons: { ...this.lessons },
      all: this.all.scores(),
      named: this.onlyNamed.scores(),
      families: [...this.families].map(([family, tally]) => ({ family, scores: tally.scores() })),
      cautions: CAUTIONS,
    };
  }

  private tally(): ScoreTally {
    return new ScoreTally(this.bar !== undefined);
  }
}
