import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { projectRoot } from '../config/project-root.js';

/** Kinds of JSON documents that come with the service, and the folder each is kept in. */
const FOLDERS = {
  policy: 'src/policies/shipped',
  'evidence-model': 'src/diagnosis/shipped',
  checklist: 'src/inspections/shipped',
} as const;

export type ShippedKind = keyof typeof FOLDERS;

/** One document as it was shipped, not yet checked by its module. */
export interface ShippedDocument {
  readonly kind: ShippedKind;
  readonly id: string;
  readonly version: number;
  /** Path below the project root. */
  readonly file: string;
  readonly json: unknown;
}

/**
 * A shipped document by `id/version`, or by `id` alone for its newest version; undefined when there is none.
 * @throws when a shipped file is not a JSON object with id and version: the installation is broken then
 */
export function shippedDocument(kind: ShippedKind, ref: string): ShippedDocument | undefined {
  const [id = '', version] = ref.split('/');
  // Files are named `<id>.<version>.json`, so that one can be found without reading the others.
  const versions = filesOf(kind)
    .filter((entry) => entry.id === id && (version === undefined || entry.version === Number(version)))
    .sort((a, b) => b.version - a.version);
  return versions[0] && load(kind, versions[0]);
}

/** Every shipped document of a kind, by id, then by version. */
export function shippedDocuments(kind: ShippedKind): ShippedDocument[] {
  return filesOf(kind)
    .sort((a, b) => (a.id === b.id ? a.version - b.version : a.id < b.id ? -1 : 1))
    .map((entry) => load(kind, entry));
}

interface NamedFile {
  readonly id: string;
  readonly version: number;
  readonly file: string;
}

function filesOf(kind: ShippedKind): NamedFile[] {
  const folder = FOLDERS[kind];
  return readdirSync(join(projectRoot(), folder)).flatMap((name) => {
    const match = /^([a-z0-9-]+)\.([1-9]\d*)\.json$/.exec(name);
    return match ? [{ id: match[1] ?? '', version: Number(match[2]), file: `${folder}/${name}` }] : [];
  });
}

/** Process-wide: shipped files do not change while the process runs. */
const read = new Map<string, ShippedDocument>();

function load(kind: ShippedKind, { id, version, file }: NamedFile): ShippedDocument {
  const kept = read.get(file);
  if (kept) return kept;
  const json: unknown = JSON.parse(readFileSync(join(projectRoot(), file), 'utf8'));
  const says = json as { readonly id?: unknown; readonly version?: unknown } | null;
  if (says?.id !== id || (says.version ?? 1) !== version) {
    throw new Error(`${file} holds document ${String(says?.id)} version ${String(says?.version)}; rename the file`);
  }
  const document = { kind, id, version, file, json };
  read.set(file, document);
  return document;
}
