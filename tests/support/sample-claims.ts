import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { readCatalogueFile, readClaimFile, type ClaimFile } from '../../src/adjudication/adjudication.contract.js';
import type { AssessmentInputs } from '../../src/adjudication/assessment.js';
import { checkEvidenceModel } from '../../src/diagnosis/diagnosis.contract.js';
import { checkChecklist } from '../../src/inspections/inspections.contract.js';
import type { Outcome } from '../../src/kernel/outcome.js';
import { holidaysOf } from '../../src/platform/calendar/holidays.js';
import { projectRoot } from '../../src/platform/config/project-root.js';
import { shippedDocument, type ShippedKind } from '../../src/platform/files/shipped-documents.js';
import { compilePolicy } from '../../src/policies/policies.contract.js';

/** A sample claim with everything that it is judged by. */
export interface SampleClaim {
  readonly slug: string;
  readonly claim: ClaimFile;
  readonly inputs: AssessmentInputs;
}

const home = join(projectRoot(), 'sample-claims');

/** Every sample claim that comes with the service, in the order of their names. */
export function sampleClaims(): SampleClaim[] {
  const models = must(readCatalogueFile(json('catalogue.json')), 'catalogue.json');
  return readdirSync(home)
    .filter((name) => existsSync(join(home, name, 'claim.json')))
    .sort()
    .map((slug) => {
      const claim = must(readClaimFile(json(slug, 'claim.json')), slug);
      const model = models.find(({ sku }) => sku === claim.unit.sku);
      if (model === undefined) throw new Error(`the catalogue has no ${claim.unit.sku}`);
      const checklist = must(checkChecklist(shipped('checklist', claim.documents.checklist)), 'checklist');
      const evidenceModel = must(checkEvidenceModel(shipped('evidence-model', claim.documents.evidenceModel)), 'model');
      const policy = compilePolicy(shipped('policy', claim.documents.policy));
      if (!policy.ok) throw new Error(policy.faults.map(({ detail }) => detail).join('; '));
      const isHoliday = holidaysOf(claim.jurisdiction);
      return { slug, claim, inputs: { model, checklist, evidenceModel, policy: policy.policy, isHoliday } };
    });
}

function json(...path: readonly string[]): unknown {
  return JSON.parse(readFileSync(join(home, ...path), 'utf8'));
}

function must<T>(outcome: Outcome<T>, what: string): T {
  if (outcome.ok) return outcome.value;
  throw new Error(`${what}: ${outcome.faults.map(({ pointer, detail }) => `${pointer} ${detail}`).join('; ')}`);
}

function shipped(kind: ShippedKind, ref: string): unknown {
  const document = shippedDocument(kind, ref);
  if (document === undefined) throw new Error(`${kind} ${ref} is not shipped`);
  return document.json;
}
