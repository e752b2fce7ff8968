import type { EvidenceModel, Explanation, ObservationModel } from '../../../diagnosis/diagnosis.contract.js';

/** A document as it is being typed: what is no number yet stands there as it was typed. */
export type Typed<T> = T extends number
  ? number | string
  : T extends readonly (infer One)[]
    ? readonly Typed<One>[]
    : T extends object
      ? { readonly [Name in keyof T]: Typed<T[Name]> }
      : T;

export type TypedModel = Typed<EvidenceModel>;
export type TypedExplanation = Typed<Explanation>;
export type TypedObservation = Typed<ObservationModel>;
export type Edit = (model: TypedModel) => TypedModel;

/** A number as it was typed; anything else stays text, so that nothing typed is lost and the checker says what is wrong. */
export function readNumber(text: string): number | string {
  return /^\s*(\d+\.?\d*|\.\d+)(e-?\d+)?\s*$/i.test(text) ? Number(text) : text;
}

/** Changes members of one explanation. A prior that a person writes is no longer what was learnt. */
export function changeExplanation(id: string, change: Partial<TypedExplanation>): Edit {
  return (model) => ({
    ...model,
    explanations: model.explanations.map((one) => {
      if (one.id !== id) return one;
      const { learnt, ...rest } = one;
      const kept = learnt === undefined || 'prior' in change ? rest : { ...rest, learnt };
      return { ...kept, ...change };
    }),
  });
}

/** Adds an explanation after the last of its subject. */
export function addExplanation(explanation: TypedExplanation): Edit {
  return (model) => {
    const last = model.explanations.findLastIndex(({ subject }) => subject === explanation.subject);
    const place = last < 0 ? model.explanations.length : last + 1;
    return { ...model, explanations: model.explanations.toSpliced(place, 0, explanation) };
  };
}

/** Takes an explanation out, with every number that is about it. */
export function removeExplanation(id: string): Edit {
  return (model) => ({
    ...model,
    explanations: model.explanations.filter((one) => one.id !== id),
    observations: model.observations.map((one) => withoutCell(one, id)),
  });
}

/** Changes members of one sign. An empty group is none. */
export function changeObservation(id: string, change: Partial<TypedObservation>): Edit {
  return (model) => ({
    ...model,
    observations: model.observations.map((one) => {
      if (one.id !== id) return one;
      const { group, ...rest } = { ...one, ...change };
      return group === undefined || group === '' ? rest : { ...rest, group };
    }),
  });
}

/** Says how likely a sign is if an explanation were true. @param chance undefined: as for all others of the subject */
export function setLikelihood(observation: string, explanation: string, chance: number | string | undefined): Edit {
  return (model) => ({
    ...model,
    observations: model.observations.map((one) => {
      if (one.id !== observation) return one;
      const bare = withoutCell(one, explanation);
      if (chance === undefined) return bare;
      // In its old place, so that a number that is typed anew does not move the others.
      const order = Object.keys(one.likelihoods);
      const likelihoods = { ...bare.likelihoods, [explanation]: chance };
      const names = order.includes(explanation) ? order : [...order, explanation];
      return { ...bare, likelihoods: Object.fromEntries(names.map((name) => [name, likelihoods[name] ?? chance])) };
    }),
  });
}

/** Says how likely a sign is under all explanations of a subject that are not listed. @param chance undefined: it says nothing of the subject */
export function setOtherwise(observation: string, subject: string, chance: number | string | undefined): Edit {
  return (model) => {
    const those = model.explanations.filter((one) => one.subject === subject).map(({ id }) => id);
    return {
      ...model,
      observations: model.observations.map((one) => {
        if (one.id !== observation) return one;
        if (chance !== undefined) return { ...one, otherwise: { ...one.otherwise, [subject]: chance } };
        const bare = those.reduce(withoutCell, one);
        return { ...bare, otherwise: without(bare.otherwise, subject) };
      }),
      subjects:
        chance === undefined
          ? model.subjects.map((one) => (one.id === subject ? closed(one, observation) : one))
          : model.subjects,
    };
  };
}

/** Whether the presence of a sign opens a finding on a subject. */
export function setOpens(observation: string, subject: string, opens: boolean): Edit {
  return (model) => ({
    ...model,
    subjects: model.subjects.map((one) => {
      if (one.id !== subject) return one;
      const bare = closed(one, observation);
      return opens ? { ...bare, opensOn: [...bare.opensOn, observation] } : bare;
    }),
  });
}

/** Adds a sign at the end. */
export function addObservation(observation: TypedObservation): Edit {
  return (model) => ({ ...model, observations: [...model.observations, observation] });
}

/** Takes a sign out, also where it opened a finding. */
export function removeObservation(id: string): Edit {
  return (model) => ({
    ...model,
    observations: model.observations.filter((one) => one.id !== id),
    subjects: model.subjects.map((one) => closed(one, id)),
  });
}

type TypedSubject = TypedModel['subjects'][number];

function closed(subject: TypedSubject, observation: string): TypedSubject {
  return { ...subject, opensOn: subject.opensOn.filter((id) => id !== observation) };
}

/** A sign without its number for an explanation, learnt or not. */
function withoutCell(one: TypedObservation, explanation: string): TypedObservation {
  const { learnt, ...rest } = one;
  const bare = { ...rest, likelihoods: without(one.likelihoods, explanation) };
  const left = learnt === undefined ? {} : without(learnt, explanation);
  return Object.keys(left).length === 0 ? bare : { ...bare, learnt: left };
}

function without<T>(record: Readonly<Record<string, T>>, name: string): Readonly<Record<string, T>> {
  return Object.fromEntries(Object.entries(record).filter(([each]) => each !== name));
}
