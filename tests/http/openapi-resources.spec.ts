import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Client, resourceApp } from '../support/resources.js';
import type { TestApp } from '../support/test-app.js';
import { freshDatabase } from '../support/test-database.js';

const data = freshDatabase();
let test: TestApp;
let document: Described;
const client = new Client(() => test);

interface Operation {
  readonly summary?: string;
  readonly responses: Readonly<Record<string, { readonly content?: Readonly<Record<string, { schema?: object }>> }>>;
  readonly parameters?: readonly { readonly name: string; readonly required?: boolean }[];
}
interface Described {
  readonly openapi: string;
  readonly paths: Readonly<Record<string, Readonly<Record<string, Operation>>>>;
  readonly components: { readonly schemas: Readonly<Record<string, object>> };
}

beforeAll(async () => {
  test = await resourceApp(data().url);
  document = (await client.send(undefined, { url: '/v1/openapi.json' })).json<Described>();
});
afterAll(() => test.app.close());

const OURS = /^\/v1\/(models|policies|visits|inspections|checklists|evidence-models)/;
const operations = (): [string, Operation][] =>
  Object.entries(document.paths)
    .filter(([path]) => OURS.test(path))
    .flatMap(([path, methods]) =>
      Object.entries(methods).map(([method, operation]): [string, Operation] => [`${method} ${path}`, operation]),
    );

describe('the description of the API', () => {
  it('is OpenAPI 3.1 and refers only to schemas that it holds', () => {
    expect(document.openapi).toBe('3.1.0');
    const references = [...JSON.stringify(document).matchAll(/"\$ref":"([^"]*)"/g)].map((match) => match[1] ?? '');
    expect(references.length).toBeGreaterThan(50);
    const known = new Set(Object.keys(document.components.schemas).map((name) => `#/components/schemas/${name}`));
    expect(references.filter((reference) => !known.has(reference))).toEqual([]);
  });

  it('says of every route what it does, what it answers with, and which problems it has', () => {
    expect(operations().length).toBeGreaterThan(25);
    const silent = operations().filter(([, { summary, responses }]) => {
      const good = Object.entries(responses).filter(([status]) => status.startsWith('2'));
      const [status, answer] = good[0] ?? [];
      const shown = status === '204' || answer?.content?.['application/json']?.schema !== undefined;
      return summary === undefined || good.length !== 1 || !shown || responses['default'] === undefined;
    });
    expect(silent.map(([route]) => route)).toEqual([]);
  });

  it('names Idempotency-Key on every creating POST and If-Match on every PUT', () => {
    const needing = (name: string): string[] =>
      operations()
        .filter(([, { parameters = [] }]) => parameters.some((each) => each.name === name && each.required === true))
        .map(([route]) => route);
    const posts = operations()
      .map(([route]) => route)
      .filter((route) => route.startsWith('post '));
    const puts = operations()
      .map(([route]) => route)
      .filter((route) => route.startsWith('put '));
    // Evaluations, checks and imports have no effect, and a fact of a phone carries its own id, so repeating them is harmless.
    expect(needing('Idempotency-Key')).toEqual(
      posts.filter((route) => !/\/(evaluations|checks|imports|facts)$/.test(route)),
    );
    expect(needing('If-Match')).toEqual(expect.arrayContaining(puts));
    expect(puts).toHaveLength(5);
  });
});
