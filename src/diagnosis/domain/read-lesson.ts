import { bad, good, pointer, type Fault, type Outcome } from '../../kernel/outcome.js';
import { exactly, fields, flag, kebabId, listOf, mapOf, shapeFaults, text } from '../../kernel/shape.js';
import type { Lesson } from '../learning.contract.js';

const codes = listOf(kebabId, { min: 0, max: 1000 });

const lessonShape = fields(
  {
    format: exactly('lesson/1'),
    claim: text(100),
    model: kebabId,
    decidedOn: text(10),
    present: codes,
    absent: codes,
    explanations: mapOf(kebabId),
  },
  { named: flag },
);

/** Reads one lesson. Refuses unknown fields, and an observation that is both present and absent. `named` left out is false. */
export function readLesson(json: unknown): Outcome<Lesson> {
  const inForm = shapeFaults(json, lessonShape);
  if (inForm.length > 0) return bad(...inForm);
  // The shape has just been checked field by field.
  const lesson = json as Omit<Lesson, 'named'> & { readonly named?: boolean };
  const faults: Fault[] = [];
  if (!isLocalDate(lesson.decidedOn))
    faults.push({ pointer: '#/decidedOn', detail: `"${lesson.decidedOn}" is not a date like 2026-03-31.` });
  const present = new Set(lesson.present);
  lesson.absent.forEach((id, index) => {
    if (present.has(id))
      faults.push({
        pointer: pointer('#/absent', index),
        detail: `"${id}" is given as present and as absent; it can be only one of them.`,
      });
  });
  if (Object.keys(lesson.explanations).length === 0)
    faults.push({
      pointer: '#/explanations',
      detail: 'Nothing was settled here; name an explanation or leave the claim out.',
    });
  return faults.length > 0 ? bad(...faults) : good({ ...lesson, named: lesson.named ?? false });
}

/** Whether a text is a day of the calendar written YYYY-MM-DD. */
export function isLocalDate(written: string): boolean {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(written)) return false;
  try {
    return Temporal.PlainDate.from(written, { overflow: 'reject' }).toString() === written;
  } catch {
    return false;
  }
}
