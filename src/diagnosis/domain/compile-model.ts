import type { EvidenceModel, Explanation, ObservationModel, Subject } from '../diagnosis.contract.js';

/**
 * An evidence model made ready for many findings: everything that does not depend on what was seen is worked out once,
 * in flat arrays of doubles. Holds no state; one compiled model serves any number of claims.
 */
export interface CompiledModel {
  readonly compiled: true;
  readonly model: EvidenceModel;
  /** Place of every observation of the model by its id. */
  readonly places: ReadonlyMap<string, number>;
  readonly subjects: readonly CompiledSubject[];
}

/** One subject: its explanations (columns) and the observations that inform it (rows, in the model's order). */
export interface CompiledSubject {
  readonly subject: Subject;
  readonly explanations: readonly Explanation[];
  readonly rows: readonly ObservationModel[];
  /** Place of each row's observation in the model. */
  readonly rowPlaces: Int32Array;
  /** Places of the observations that open a finding on this subject. */
  readonly opens: Int32Array;
  /** Natural logarithms of the priors, normalised within the subject. */
  readonly logPrior: Float64Array;
  /** P(present | explanation), P(absent | explanation) and their natural logarithms; row × columns + column. */
  readonly present: Float64Array;
  readonly absent: Float64Array;
  readonly logPresent: Float64Array;
  readonly logAbsent: Float64Array;
  /** Largest over smallest likelihood among the explanations, in decibans, by row. */
  readonly strengthPresent: Float64Array;
  readonly strengthAbsent: Float64Array;
  /** Group number by row; -1 where the row stands alone. */
  readonly group: Int32Array;
  readonly groups: number;
}

export const DECIBANS_PER_NAT = 10 / Math.LN10;

/** Prepares a model that has passed `checkEvidenceModel`. */
export function compileModel(model: EvidenceModel): CompiledModel {
  const places = new Map(model.observations.map((one, place) => [one.id, place]));
  return {
    compiled: true,
    model,
    places,
    subjects: model.subjects.map((subject) => compileSubject(model, subject, places)),
  };
}

/** The model itself or its compiled form, whichever the caller has. */
export function compiled(model: EvidenceModel | CompiledModel): CompiledModel {
  return 'compiled' in model ? model : compileModel(model);
}

function compileSubject(model: EvidenceModel, subject: Subject, places: ReadonlyMap<string, number>): CompiledSubject {
  const explanations = model.explanations.filter((one) => one.subject === subject.id);
  const rows = model.observations.filter((one) => Object.hasOwn(one.otherwise, subject.id));
  const columns = explanations.length;
  const present = new Float64Array(rows.length * columns);
  rows.forEach((row, r) => explanations.forEach((one, e) => (present[r * columns + e] = likelihood(row, one))));
  const absent = present.map((p) => 1 - p);
  const totalPrior = explanations.reduce((sum, one) => sum + one.prior, 0);
  const groupNames = [...new Set(rows.flatMap((row) => (row.group === undefined ? [] : [row.group])))];
  return {
    subject,
    explanations,
    rows,
    rowPlaces: Int32Array.from(rows, (row) => places.get(row.id) ?? -1),
    opens: Int32Array.from(subject.opensOn.flatMap((id) => places.get(id) ?? [])),
    logPrior: Float64Array.from(explanations, (one) => Math.log(one.prior / totalPrior)),
    present,
    absent,
    logPresent: present.map(Math.log),
    logAbsent: absent.map(Math.log),
    strengthPresent: strengths(present, rows.length, columns),
    strengthAbsent: strengths(absent, rows.length, columns),
    group: Int32Array.from(rows, (row) => (row.group === undefined ? -1 : groupNames.indexOf(row.group))),
    groups: groupNames.length,
  };
}

/** P(present | explanation): the listed number, or what holds for the rest of the explanation's subject. */
export function likelihood(observation: ObservationModel, explanation: Explanation): number {
  const listed = Object.hasOwn(observation.likelihoods, explanation.id)
    ? observation.likelihoods[explanation.id]
    : observation.otherwise[explanation.subject];
  if (listed === undefined)
    throw new RangeError(`"${observation.id}" says nothing of "${explanation.id}"; check the evidence model first`);
  return listed;
}

function strengths(probabilities: Float64Array, rows: number, columns: number): Float64Array {
  const result = new Float64Array(rows);
  for (let r = 0; r < rows; r += 1) {
    let least = Infinity;
    let most = 0;
    for (let e = 0; e < columns; e += 1) {
      const p = probabilities[r * columns + e] ?? 1;
      least = Math.min(least, p);
      most = Math.max(most, p);
    }
    result[r] = DECIBANS_PER_NAT * Math.log(most / least);
  }
  return result;
}
