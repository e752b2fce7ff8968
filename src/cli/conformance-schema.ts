import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { toDmn } from '../policies/exchange.contract.js';
import type { PolicyDocument } from '../policies/policies.contract.js';
import { shippedDocument } from '../platform/files/shipped-documents.js';

/** The official schema of DMN 1.3 and what it includes. */
const [SCHEMA, ...INCLUDED] = ['DMN13.xsd', 'DMNDI13.xsd', 'DC.xsd', 'DI.xsd'] as const;
const POLICIES = ['us-powered-furniture', 'eu-powered-furniture', 'uk-powered-furniture'] as const;

/** One shipped policy against the schema. */
export interface SchemaResult {
  readonly policy: string;
  /** What the schema's validator (libxml2) says against it; none means valid. */
  readonly errors: readonly string[];
}

/**
 * Writes every shipped policy as DMN and validates it against the official schema, where the folder holds it.
 * @returns undefined where a file of the schema is not there
 */
export async function schemaResults(folder: string): Promise<SchemaResult[] | undefined> {
  if (![SCHEMA, ...INCLUDED].every((name) => existsSync(join(folder, name)))) return undefined;
  const file = (name: string) => ({ fileName: name, contents: readFileSync(join(folder, name), 'utf8') });
  // A validator for this run alone; it is no part of the service.
  const { validateXML } = await import('xmllint-wasm');
  const results: SchemaResult[] = [];
  for (const policy of POLICIES) {
    const document = shippedDocument('policy', policy)?.json as PolicyDocument;
    const xml = [{ fileName: `${policy}.dmn`, contents: toDmn(document, '2026-01-01').xml }];
    const { errors } = await validateXML({ xml, schema: [file(SCHEMA)], preload: INCLUDED.map(file) });
    results.push({ policy, errors: errors.map(({ rawMessage }) => rawMessage) });
  }
  return results;
}
