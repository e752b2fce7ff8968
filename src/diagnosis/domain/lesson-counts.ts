import type { EvidenceModel } from '../diagnosis.contract.js';
import type { Lesson, LessonTally } from '../learning.contract.js';
import type { CompiledModel, CompiledSubject } from './compile-model.js';
import { compiled } from './compile-model.js';
import { ABSENT, NOT_CHECKED, PRESENT, sightingsOf } from './weighing.js';

/** What was counted of one subject. Cells are row × explanations + explanation, as in the compiled subject. */
export interface SubjectCounts {
  readonly of: CompiledSubject;
  /** Claims settled on each explanation. */
  readonly settled: Float64Array;
  /** Claims settled on the explanation in which the row was present, and in which it was absent. */
  readonly present: Float64Array;
  readonly absent: Float64Array;
}

/**
 * Counts decided claims one by one, in memory that depends on the model and not on the number of claims. Counts are whole, so the
 * order of claims cannot matter.
 */
export class LessonCounts {
  readonly model: CompiledModel;
  readonly subjects: readonly SubjectCounts[];
  private readonly bySubject: ReadonlyMap<string, { counts: SubjectCounts; columns: ReadonlyMap<string, number> }>;
  private read = 0;
  private used = 0;
  private named = 0;
  private otherModels = 0;
  private unknownExplanations = 0;

  constructor(model: EvidenceModel | CompiledModel) {
    this.model = compiled(model);
    this.subjects = this.model.subjects.map((of) => ({
      of,
      settled: new Float64Array(of.explanations.length),
      present: new Float64Array(of.rows.length * of.explanations.length),
      absent: new Float64Array(of.rows.length * of.explanations.length),
    }));
    this.bySubject = new Map(
      this.subjects.map((counts) => [
        counts.of.subject.id,
        { counts, columns: new Map(counts.of.explanations.map(({ id }, e) => [id, e])) },
      ]),
    );
  }

  /**
   * Counts one lesson; lessons of other models and explanations that the model does not have are only tallied.
   * @throws RangeError when an observation of the lesson is both present and absent
   */
  add(lesson: Lesson): void {
    this.read += 1;
    if (lesson.model !== this.model.model.id) {
      this.otherModels += 1;
      return;
    }
    const sightings = sightingsOf(this.model, lesson);
    let isUsed = false;
    for (const [subject, explanation] of Object.entries(lesson.explanations)) {
      const found = this.bySubject.get(subject);
      const column = found?.columns.get(explanation);
      if (found === undefined || column === undefined) this.unknownExplanations += 1;
      else {
        count(found.counts, column, sightings);
        isUsed = true;
      }
    }
    if (!isUsed) return;
    this.used += 1;
    if (lesson.named) this.named += 1;
  }

  tally(): LessonTally {
    const { read, used, named, otherModels, unknownExplanations } = this;
    return { read, used, named, otherModels, unknownExplanations };
  }
}

function count({ of, settled, present, absent }: SubjectCounts, column: number, sightings: Uint8Array): void {
  const columns = of.explanations.length;
  settled[column] = (settled[column] ?? 0) + 1;
  for (let r = 0, here = column; r < of.rows.length; r += 1, here += columns) {
    const seen = sightings[of.rowPlaces[r] ?? -1] ?? NOT_CHECKED;
    if (seen === PRESENT) present[here] = (present[here] ?? 0) + 1;
    else if (seen === ABSENT) absent[here] = (absent[here] ?? 0) + 1;
  }
}
