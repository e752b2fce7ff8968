import { join, relative } from 'node:path';
import { readCatalogueFile, type ClaimFile } from '../adjudication/adjudication.contract.js';
import type { Model } from '../catalogue/catalogue.contract.js';
import { checkEvidenceModel, type EvidenceModel } from '../diagnosis/diagnosis.contract.js';
import { checkChecklist, type Checklist } from '../inspections/inspections.contract.js';
import type { Outcome } from '../kernel/outcome.js';
import { projectRoot } from '../platform/config/project-root.js';
import { shippedDocument, shippedDocuments, type ShippedKind } from '../platform/files/shipped-documents.js';
import { compilePolicy, type CompiledPolicy } from '../policies/policies.contract.js';
import { BadInput, DOCUMENT_BYTES, readJson } from './json-input.js';
import type { Io } from './verb.js';

/** What the command line may name in place of what the claim file names: files, or ids of shipped documents. */
export interface Overrides {
  readonly catalogue?: string | undefined;
  readonly policy?: string | undefined;
  readonly evidenceModel?: string | undefined;
  readonly checklist?: string | undefined;
}

/** Documents that one claim is judged by. */
export interface ClaimDocuments {
  readonly model: Model;
  readonly checklist: Checklist;
  readonly evidenceModel: EvidenceModel;
  readonly policy: CompiledPolicy;
}

/** The catalogue that comes with the service, below the project root. */
const SHIPPED_CATALOGUE = join('sample-claims', 'catalogue.json');

/**
 * Finds and checks the documents of a claim.
 * @throws BadInput when one is missing or faulty; `source` names it
 */
export async function claimDocuments(claim: ClaimFile, overrides: Overrides, io: Io): Promise<ClaimDocuments> {
  const { documents } = claim;
  const checklist = await namedChecklist(overrides.checklist ?? documents.checklist, io);
  const evidenceModel = await namedEvidenceModel(overrides.evidenceModel ?? documents.evidenceModel, io, checklist);
  const policy = await namedPolicy(overrides.policy ?? documents.policy, io);
  const model = claim.model ?? (await modelOf(claim.unit.sku, overrides.catalogue, io));
  return { model, checklist, evidenceModel, policy };
}

/** A checklist by file or shipped id. @throws BadInput when it is missing or faulty */
export async function namedChecklist(named: string, io: Io): Promise<Checklist> {
  const found = await documentJson('checklist', named, io);
  return checked(found, checkChecklist(found.json));
}

/** An evidence model by file or shipped id, checked against a checklist where one is given. @throws BadInput when it is missing or faulty */
export async function namedEvidenceModel(named: string, io: Io, checklist?: Checklist): Promise<EvidenceModel> {
  const found = await documentJson('evidence-model', named, io);
  return checked(found, checkEvidenceModel(found.json, checklist));
}

/** A policy by file or shipped id. @throws BadInput when it is missing or faulty */
export async function namedPolicy(named: string, io: Io): Promise<CompiledPolicy> {
  return compiled(await documentJson('policy', named, io));
}

/** Where a document was found, and its JSON. */
export interface Found {
  readonly source: string;
  readonly json: unknown;
}

/** A policy's document as it is, by file or shipped id, not yet compiled. @throws BadInput when there is none or it is not JSON */
export async function policyJson(named: string, io: Io): Promise<Found> {
  return documentJson('policy', named, io);
}

async function documentJson(kind: ShippedKind, named: string, io: Io): Promise<Found> {
  if (isFile(named)) return { source: named, json: await readJson(named, DOCUMENT_BYTES, io) };
  const shipped = shippedDocument(kind, named);
  if (shipped) return { source: shipped.file, json: shipped.json };
  const have = shippedDocuments(kind).map(({ id, version }) => `${id}/${version}`);
  const detail = `There is no ${kind.replace('-', ' ')} "${named}". There are: ${have.join(', ') || 'none'}. A file's name must end in .json.`;
  throw new BadInput(`the ${kind.replace('-', ' ')}`, [{ pointer: '#', detail }]);
}

/** A file ends in .json; anything else is the id of a shipped document. */
function isFile(named: string): boolean {
  return named === '-' || named.endsWith('.json');
}

function checked<T>(found: Found, outcome: Outcome<T>): T {
  if (!outcome.ok) throw new BadInput(found.source, outcome.faults);
  return outcome.value;
}

function compiled(found: Found): CompiledPolicy {
  const outcome = compilePolicy(found.json);
  if (outcome.ok) return outcome.policy;
  throw new BadInput(
    found.source,
    outcome.faults.map(({ decision, rule, column, from, to, detail }) => {
      const place = [decision, rule, column].filter((step) => step !== undefined).join('/');
      return { pointer: '#', detail: place === '' ? detail : `${place}: ${detail}`, decision, rule, column, from, to };
    }),
  );
}

async function modelOf(sku: string, named: string | undefined, io: Io): Promise<Model> {
  const file = named ?? join(projectRoot(), SHIPPED_CATALOGUE);
  const source = named ?? relative(process.cwd(), file);
  const models = checked({ source, json: undefined }, readCatalogueFile(await readJson(file, DOCUMENT_BYTES, io)));
  const model = models.find((candidate) => candidate.sku === sku);
  if (model) return model;
  const detail = `The catalogue ${source} has no model ${sku}; name another catalogue, or put the model into the claim file.`;
  throw new BadInput('the claim file', [{ pointer: '#/unit/sku', detail }]);
}
