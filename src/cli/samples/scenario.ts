import { createHash } from 'node:crypto';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { readCatalogueFile } from '../../adjudication/catalogue-file.js';
import { readClaimFile, type ClaimFile } from '../../adjudication/adjudication.contract.js';
import type { Model } from '../../catalogue/catalogue.contract.js';
import type { Receipt, Role } from '../../kernel/vocabulary.js';
import { projectRoot } from '../../platform/config/project-root.js';

/** sample-claims/scenario.json: the people, companies and visits that the sample claims belong to. */
export interface Scenario {
  readonly tenants: readonly {
    readonly code: string;
    readonly name: string;
    readonly skus: 'all' | readonly string[];
  }[];
  readonly retailers: readonly { readonly code: string; readonly tenant: string; readonly name: string }[];
  readonly carriers: readonly { readonly code: string; readonly tenant: string; readonly name: string }[];
  readonly crews: readonly {
    readonly code: string;
    readonly tenant: string;
    readonly name: string;
    readonly members: readonly string[];
  }[];
  readonly people: readonly SamplePerson[];
  readonly addresses: readonly SampleAddress[];
  readonly visits: readonly SampleVisit[];
  /** How far a worked claim has come, by folder; absent: proposed. */
  readonly stages?: Readonly<Record<string, SampleStage>>;
}

export type SampleStage =
  'needs information' | 'awaiting second person' | 'decided' | 'settling' | 'settled' | 'closed' | 'withdrawn';

export interface SamplePerson {
  readonly email: string;
  readonly name: string;
  readonly tenant: string;
  readonly roles: readonly Role[];
  readonly phrase: string;
  readonly retailer?: string;
}

export interface SampleAddress {
  readonly id: string;
  readonly lines: readonly string[];
  readonly place: string;
  readonly postcode: string;
  readonly country: string;
  readonly latitude: number;
  readonly longitude: number;
  readonly zone: string;
}

export interface SampleVisit {
  readonly code: string;
  readonly tenant: string;
  readonly retailer: string;
  readonly retailerReference: string;
  readonly carrier: string;
  readonly crew: string;
  readonly address: string;
  readonly window: { readonly from: string; readonly to: string };
  readonly units: readonly { readonly sku: string; readonly serial: string }[];
  readonly receipt: Receipt | null;
  /** Folder of the worked claim, or null for a visit that is still to come. */
  readonly claim: string | null;
}

/** Folder of the sample claims in this checkout. */
export function samplesFolder(): string {
  return join(projectRoot(), 'sample-claims');
}

/** Reads the scenario. @throws Error when the file is missing: the checkout is broken then */
export function readScenario(): Scenario {
  return JSON.parse(readFileSync(join(samplesFolder(), 'scenario.json'), 'utf8')) as Scenario;
}

/** The sample catalogue's models. @throws Error naming every fault */
export function readSampleModels(): readonly Model[] {
  const file = join(samplesFolder(), 'catalogue.json');
  const outcome = readCatalogueFile(JSON.parse(readFileSync(file, 'utf8')));
  if (outcome.ok) return outcome.value;
  throw new Error(`${file}: ${outcome.faults.map((fault) => `${fault.pointer} ${fault.detail}`).join('; ')}`);
}

/** One worked claim. @throws Error naming every fault */
export function readSampleClaim(slug: string): ClaimFile {
  const file = join(samplesFolder(), slug, 'claim.json');
  const outcome = readClaimFile(JSON.parse(readFileSync(file, 'utf8')));
  if (outcome.ok) return outcome.value;
  throw new Error(`${file}: ${outcome.faults.map((fault) => `${fault.pointer} ${fault.detail}`).join('; ')}`);
}

/** Whether this checkout holds the photo (samples can be shipped without). */
export function samplePhoto(slug: string, file: string): string | undefined {
  const path = join(samplesFolder(), slug, file);
  return existsSync(path) ? path : undefined;
}

/** The same UUID (RFC 9562 version 8) for the same thing in every checkout, so that loading twice loads once. */
export function sampleId(kind: string, name: string): string {
  const hex = createHash('sha256').update(`as-noted sample ${kind} ${name}`).digest('hex');
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-8${hex.slice(13, 16)}-8${hex.slice(17, 20)}-${hex.slice(20, 32)}`;
}
