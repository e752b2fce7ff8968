import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { Client, codeOf, house, pointersOf, resourceApp, shippedJson, type House } from '../support/resources.js';
import type { TestApp } from '../support/test-app.js';
import { freshDatabase } from '../support/test-database.js';

const data = freshDatabase();
let test: TestApp;
let home: House;
const client = new Client(() => test);
const UK = '/v1/policies/uk-powered-furniture/versions';

beforeAll(async () => {
  test = await resourceApp(data().url);
});
afterAll(() => test.app.close());
beforeEach(async () => {
  home = await house(data());
  const document = shippedJson('policies', 'uk-powered-furniture.1');
  await client.post(home.owner, UK, { document, effectiveFrom: '2026-01-01' });
});

describe('a version for other programs', () => {
  it('goes out as DMN and comes back as the document that it was', async () => {
    const out = await client.get(home.analyst, `${UK}/1/export?format=dmn&on=2026-03-01`);
    expect(out.headers['content-type']).toContain('application/xml');
    expect(out.headers['content-disposition']).toBe('attachment; filename="uk-powered-furniture.1.dmn"');
    const back = await client.post(home.owner, '/v1/policies/imports', { xml: out.body });
    expect(back.statusCode).toBe(200);
    const stored = (await client.get(home.owner, `${UK}/1`)).json<{ document: object }>();
    expect(back.json<{ document: object }>().document).toEqual(stored.document);
  });

  it.each([
    ['csv', 'text/csv', /^policy,uk-powered-furniture/],
    ['md', 'text/markdown', /^# /],
    ['json', 'application/json', /"format": "policy\/1"/],
  ])('goes out as %s', async (format, type, start) => {
    const out = await client.get(home.analyst, `${UK}/1/export?format=${format}`);
    expect([out.statusCode, String(out.headers['content-type']).startsWith(type), start.test(out.body)]).toEqual([
      200,
      true,
      true,
    ]);
  });

  it('goes out as CSV and comes back onto a version, rules that were changed on the way included', async () => {
    const csv = (await client.get(home.owner, `${UK}/1/export?format=csv`)).body;
    const { document } = (await client.get(home.owner, `${UK}/1`)).json<{ document: object }>();
    const back = await client.post(home.owner, `${UK}/1/imports`, { csv });
    expect([back.statusCode, back.json<{ document: object }>().document]).toEqual([200, document]);
    const wrong = await client.post(home.owner, `${UK}/1/imports`, { csv: csv.replace(/^policy,uk/, 'policy,fr') });
    expect([wrong.statusCode, pointersOf(wrong)]).toEqual([400, ['#/csv']]);
    expect(wrong.body).toContain('Line 1: The file is of the policy');
    expect((await client.post(home.analyst, `${UK}/1/imports`, { csv })).statusCode).toBe(403);
    const other = await house(data());
    expect(codeOf(await client.post(other.owner, `${UK}/1/imports`, { csv }))).toBe('not-found');
  });

  it('is refused in another format, for another house, and for whoever has no business with policies', async () => {
    expect((await client.get(home.analyst, `${UK}/1/export?format=xlsx`)).statusCode).toBe(400);
    const other = await house(data());
    expect(codeOf(await client.get(other.owner, `${UK}/1/export`))).toBe('not-found');
    expect((await client.get(home.retailerPerson, `${UK}/1/export`)).statusCode).toBe(403);
    expect((await client.post(home.analyst, '/v1/policies/imports', { xml: '<a/>' })).statusCode).toBe(403);
  });

  it('is not read where it cannot be run, with the place in the file', async () => {
    const xml = '<definitions xmlns="https://www.omg.org/spec/DMN/20191111/MODEL/" name="x">\n<import/></definitions>';
    const refused = await client.post(home.owner, '/v1/policies/imports', { xml });
    expect([refused.statusCode, pointersOf(refused)[0]]).toEqual([400, '#/xml']);
    expect(refused.body).toContain('Line 2, column 1');
    const entity = '<!DOCTYPE d [<!ENTITY x SYSTEM "file:///etc/passwd">]><definitions>&x;</definitions>';
    expect((await client.post(home.owner, '/v1/policies/imports', { xml: entity })).body).toContain('document type');
  });
});
