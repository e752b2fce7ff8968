import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import addFormats from 'ajv-formats';
import { describe, expect, it } from 'vitest';
import { aClaimFile, claimJsonWith } from '../../tests/support/claim-file.js';
import { projectRoot } from '../platform/config/project-root.js';
import { readClaimFile } from './adjudication.contract.js';

const root = projectRoot();
const json = (...path: string[]): unknown => JSON.parse(readFileSync(join(root, ...path), 'utf8'));

const ajv = new Ajv2020({ allErrors: true, strict: true, allowUnionTypes: true, strictRequired: false });
addFormats.default(ajv);
const validate = ajv.compile(json('docs', 'claim-file.schema.json') as object);

const catalogue = json('sample-claims', 'catalogue.json') as { readonly models: readonly Record<string, unknown>[] };
const model = catalogue.models.find(({ sku }) => sku === aClaimFile().unit.sku);

const samples = readdirSync(join(root, 'sample-claims')).filter((name) =>
  existsSync(join(root, 'sample-claims', name, 'claim.json')),
);

describe('the JSON Schema of the claim file', () => {
  it('accepts a complete claim file, with its model inside too', () => {
    expect(validate(aClaimFile())).toBe(true);
    expect(model).toBeDefined();
    expect(validate({ ...aClaimFile(), model })).toBe(true);
    const sdrRate = { rate: '1.3137', on: '2026-03-01', source: 'made up' };
    const transport = { regime: 'sea', packages: 2, grossGrams: 65_000, writtenAgreement: false, sdrRate } as const;
    expect(validate(aClaimFile({ transport }))).toBe(true);
    expect(readClaimFile(aClaimFile({ transport }))).toMatchObject({ ok: true, value: { transport } });
  });

  it.each(samples)('accepts sample claim %s, as does the reader', (name) => {
    const sample = json('sample-claims', name, 'claim.json');
    validate(sample);
    expect(validate.errors ?? []).toEqual([]);
    expect(readClaimFile(sample)).toMatchObject({ ok: true });
  });

  // Every kind of mistake in shape, at every depth. Both must refuse; neither may be stricter than the other on shape.
  it.each([
    ['', null],
    ['', []],
    ['format', 'claim/2'],
    ['title', ''],
    ['title', 'x'.repeat(201)],
    ['title', '\u{1F6CF}'.repeat(200)],
    ['jurisdiction', 'USA'],
    ['jurisdiction', 'GB-ENG'],
    ['zone', '+02:00'],
    ['ground', 'Damage'],
    ['ground', undefined],
    ['returnReason', 'change of mind'],
    ['documents.policy', 'US'],
    ['documents.policy', 'us-powered-furniture/0'],
    ['documents.extra', 'x'],
    ['parties.carrier', null],
    ['order.placedOn', '2026-2-3'],
    ['order.placedOn', '2026-02-30'],
    ['order.currency', 'XXX'],
    ['order.currency', 'JPY'],
    ['order.priceMinor', 0],
    ['order.priceMinor', 1.5],
    ['order.priceMinor', 10_000_000_001],
    ['order.taxMinor', -1],
    ['order.deliveryMinor', '0'],
    ['unit.serial', ' KR20260117'],
    ['unit.opened', 'yes'],
    ['model', {}],
    ['model', { ...model, salvageBp: 10_001 }],
    ['model', { ...model, parts: [{}] }],
    ['delivery.receipt', 'none'],
    ['delivery.receiptWords', ''],
    ['transport', null],
    ['transport', { regime: 'rail' }],
    ['transport', { regime: 'sea', packages: 0 }],
    ['transport', { regime: 'sea', colour: 'red' }],
    ['transport', { regime: 'air', sdrRate: { rate: '1,31', on: '2026-01-01', source: 'x' } }],
    ['transport', { regime: 'air', sdrRate: { rate: '1.31', on: '2026-02-30', source: 'x' } }],
    ['transport', { regime: 'air', sdrRate: { rate: '1.31', source: 'x' } }],
    ['transport', { writtenAgreement: true }],
    ['delivery.custody', {}],
    ['delivery.custody.0.party', 'retailer'],
    ['delivery.custody.3.at', '2026-03-04'],
    ['delivery.custody.3.at', undefined],
    ['events.delivered', undefined],
    ['events.noticed', '2026-03-04T10:40:00'],
    ['events.noticed', '2026-03-04T10:40-05:00'],
    ['events.noticed', '2026-13-04T10:40:00-05:00'],
    ['events.noticed', undefined],
    ['events.reopened', '2026-03-04T10:40:00-05:00'],
    ['inspection.crewSize', 21],
    ['inspection.answers.0', { item: 'crew-size' }],
    ['inspection.answers.0.item', 'crew size'],
    ['inspection.answers.0.value', false],
    ['inspection.answers.0.value', ['']],
    ['inspection.answers.0.value', [1]],
    ['inspection.answers.0.value', { 'RO-300': 1.5 }],
    ['inspection.answers.0.value', { 'RO-300': 2 }],
    ['inspection.answers.0.value', 'x'.repeat(4_001)],
    ['inspection.answers.0.note', 7],
    ['photos.0.file', '../p.jpg'],
    ['photos.0.file', 'a/./p.jpg'],
    ['photos.0.file', 'photos/label..2.jpg'],
    ['photos.0.sha256', 'abc'],
    ['photos.0.taken', '2026-03-04'],
    ['stepsFollowed', 'yes'],
    ['stepsFollowed', true],
    ['failedRepairs', -1],
    ['wish', 'money'],
    ['wish', undefined],
    ['asOf', 1_700_000_000],
  ] as const)('agrees with the reader on %s = %j', (path, value) => {
    const changed = claimJsonWith(path, value);
    expect(validate(changed)).toBe(readClaimFile(changed).ok);
  });

  it('asks for a reason on a return, and only then, as does the reader', () => {
    const returned = { ...aClaimFile(), ground: 'return' };
    for (const changed of [returned, { ...returned, returnReason: 'wrong item' }]) {
      expect(validate(changed)).toBe(readClaimFile(changed).ok);
    }
    expect(validate({ ...returned, returnReason: 'wrong item' })).toBe(true);
  });
});
