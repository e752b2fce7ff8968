import { contentHash } from '../kernel/canonical-json.js';
import type { Fault } from '../kernel/outcome.js';
import { modelFaults, type Model } from '../catalogue/catalogue.contract.js';
import { compileModel, type CompiledModel, type EvidenceModel } from '../diagnosis/diagnosis.contract.js';
import type { Assessment, DocumentRef } from './adjudication.contract.js';
import type { AssessmentDocuments } from './domain/assessment-faults.js';

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

/** What the catalogue finds wrong with a model. */
export function faultsOfModel(model: Model): readonly Fault[] {
  const faults = MODEL_FAULTS.get(model) ?? modelFaults(model);
  MODEL_FAULTS.set(model, faults);
  return faults;
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
