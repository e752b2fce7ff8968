import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { projectRoot } from '../config/project-root.js';
import { shippedDocument, shippedDocuments } from './shipped-documents.js';

describe('shipped documents', () => {
  it('are found by id with version, and by id alone as the newest', () => {
    const all = shippedDocuments('checklist').filter(({ id }) => id === 'bed-base');
    expect(all.length).toBeGreaterThan(0);
    expect(shippedDocument('checklist', 'bed-base')).toBe(all.at(-1));
    expect(shippedDocument('checklist', 'bed-base/1')?.json).toMatchObject({ id: 'bed-base', version: 1 });
  });

  it('are undefined when there is none of that id or version', () => {
    expect(shippedDocument('checklist', 'no-such-list')).toBeUndefined();
    expect(shippedDocument('checklist', 'bed-base/999')).toBeUndefined();
    expect(shippedDocument('checklist', '../../package')).toBeUndefined();
  });

  it.each(['policy', 'evidence-model', 'checklist'] as const)('of kind %s say what their file names say', (kind) => {
    expect(shippedDocuments(kind).length).toBeGreaterThan(0);
    for (const { file, id, version, json } of shippedDocuments(kind)) {
      expect(existsSync(join(projectRoot(), file))).toBe(true);
      expect((json as { id: string; version?: number }).id).toBe(id);
      expect((json as { version?: number }).version ?? 1).toBe(version);
    }
  });
});
