import { contentHash } from '../kernel/canonical-json.js';
import type { Fault } from '../kernel/outcome.js';
import { modelFaults, type Model } from '../catalogue/catalogue.contract.js';
import { compileModel, type CompiledModel, type EvidenceModel } from '../diagnosis/diagnosis.contract.js';
import type { Observations } from '../inspections/inspections.contract.js';
import type { Assessment, DocumentRef } from './adjudication.contract.js';
import { modelAmountFaults, type AssessmentDocuments } from './domain/assessment-faults.js';

/** Published documents and read models never change, so what is worked out of them once is kept as long as they are in use. */
const COMPILED = new WeakMap<EvidenceModel, CompiledModel>();
const MODEL_FAULTS = new WeakMap<Model, readonly Fault[]>();
const HASHES = new WeakMap<object, string>();

/** The evidence model made ready for findings. */
export function compiledModel(model: EvidenceModel): CompiledModel {
  const compiled = COMPILED.get(model) ?? compileModel(model);
  COMPILED.set(model, compiled);
  return compiled;
}

/** What the catalogue finds wrong with a model, and amounts of it that cannot be worked with exactly. */
export function faultsOfModel(model: Model): readonly Fault[] {
  const faults = MODEL_FAULTS.get(model) ?? [...modelFaults(model), ...modelAmountFaults(model)];
  MODEL_FAULTS.set(model, faults);
  return faults;
}

/** Signs that the crew saw and the evidence model does not weigh: the checklist and the model do not fit each other. */
export function unweighedSigns(compiled: CompiledModel, { present, absent }: Observations): string[] {
  return [...present, ...absent].filter((code) => !compiled.places.has(code));
}

/** Subjects of an evidence model whose priors or likelihoods no finding can be worked out from, as sentences. */
export function unusableSubjects(model: EvidenceModel): readonly string[] {
  const known = UNUSABLE.get(model);
  if (known !== undefined) return known;
  const fresh = model.subjects.flatMap((subject) => {
    const weights = model.explanations.filter((one) => one.subject === subject.id).map(({ prior }) => prior);
    const chances = model.observations.flatMap(({ likelihoods, otherwise }) => {
      const own = Object.entries(likelihoods).filter(([id]) => isOf(model, id, subject.id));
      return [...own.map(([, chance]) => chance), otherwise[subject.id] ?? 0.5];
    });
    const usable = weights.every((prior) => prior > 0 && prior < Infinity) && chances.every((p) => p > 0 && p < 1);
    return usable
      ? []
      : [`The evidence model has a prior or a likelihood for "${subject.id}" that is impossible; check it.`];
  });
  UNUSABLE.set(model, fresh);
  return fresh;
}

const UNUSABLE = new WeakMap<EvidenceModel, readonly string[]>();

function isOf(model: EvidenceModel, explanation: string, subject: string): boolean {
  return model.explanations.some((one) => one.id === explanation && one.subject === subject);
}

/** The documents that an assessment names, by id, version and content. */
export function documentRefs({ checklist, evidenceModel, policy }: AssessmentDocuments): Assessment['documents'] {
  const { id, version } = policy.document;
  return {
    checklist: documentRef(checklist),
    evidenceModel: documentRef(evidenceModel),
    policy: { id, version: version ?? 1, hash: policy.hash },
  };
}

function documentRef(document: { readonly id: string; readonly version: number }): DocumentRef {
  const hash = HASHES.get(document) ?? contentHash(document);
  HASHES.set(document, hash);
  return { id: document.id, version: document.version, hash };
}
