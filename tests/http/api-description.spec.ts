import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { Validator } from '@seriousme/openapi-schema-validator';
import { RequestMethod } from '@nestjs/common';
import { METHOD_METADATA, PATH_METADATA } from '@nestjs/common/constants.js';
import { ModulesContainer } from '@nestjs/core';
import type { OpenAPIObject } from '@nestjs/swagger';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { AppModule } from '../../src/app.module.js';
import { projectRoot } from '../../src/platform/config/project-root.js';
import { isProblemCode } from '../../src/platform/http/problems.js';
import { testApp, type TestApp } from '../support/test-app.js';
import { freshDatabase } from '../support/test-database.js';

/** The description of the API as the whole service gives it out, against the rules of OpenAPI 3.1 and against what was promised before. */

interface Operation {
  readonly operationId: string;
  readonly summary?: string;
  readonly parameters?: readonly { readonly name: string; readonly in: string; readonly required?: boolean }[];
  readonly requestBody?: {
    readonly content: Readonly<Record<string, { readonly schema?: { readonly $ref?: string } }>>;
  };
  readonly responses: Readonly<Record<string, { readonly description: string; readonly content?: object }>>;
}

const data = freshDatabase();
const VERBS = ['get', 'head', 'options', 'post', 'put', 'patch', 'delete'] as const;
/** POST routes that create nothing that a repetition could double; each says why. */
const NOT_CREATING = [
  // Signing in twice gives two sessions, which is what signing in on two phones is.
  'POST /v1/sessions',
  // A visit link is changed for a cookie, as often as somebody opens it.
  'POST /v1/link-sessions',
  // Only works something out and keeps nothing.
  'POST /v1/policies/{code}/evaluations',
  'POST /v1/policies/{code}/versions/{version}/imports',
  'POST /v1/policies/checks',
  'POST /v1/policies/imports',
  // A form of files; each file is known by its content, so that sending it again gives the same receipt.
  'POST /v1/inspections/{inspectionId}/photos',
  // An upload that was begun twice is two empty files that expire; the photo in them is known by its id and hash.
  'POST /v1/uploads',
  // HEAD, PATCH or DELETE by another name.
  'POST /v1/uploads/{id}',
  // Each fact carries the id that the phone gave it, and is kept once.
  'POST /v1/visits/{visitId}/facts',
];

let test: TestApp;
let text: string;
let document: OpenAPIObject;
let operations: { readonly route: string; readonly path: string; readonly operation: Operation }[];

beforeAll(async () => {
  test = await testApp(data().url, { root: (config, log, clock) => AppModule.with(config, log, clock) });
  const answer = await test.app.inject({ url: '/v1/openapi.json' });
  text = answer.body;
  document = JSON.parse(text) as OpenAPIObject;
  operations = Object.entries(document.paths).flatMap(([path, item]) =>
    VERBS.flatMap((verb) => {
      const operation = item[verb] as Operation | undefined;
      return operation === undefined ? [] : [{ route: `${verb.toUpperCase()} ${path}`, path, operation }];
    }),
  );
});
afterAll(() => test.app.close());

/** Required headers of an operation. */
const headersOf = ({ parameters }: Operation): string[] =>
  (parameters ?? []).flatMap(({ name, in: place, required }) => (place === 'header' && required ? [name] : []));

/** Required fields of a JSON body, sorted. */
function requiredFields({ requestBody }: Operation): string[] {
  const ref = requestBody?.content['application/json']?.schema?.$ref?.replace('#/components/schemas/', '');
  const schema = ref === undefined ? undefined : document.components?.schemas?.[ref];
  return ((schema as { required?: string[] } | undefined)?.required ?? []).toSorted();
}

/** What the decorators of all controllers say, apart from the description of the API itself. */
function routesOfControllers(): string[] {
  const controllers = [...test.app.get(ModulesContainer).values()].flatMap((module) => [
    ...module.controllers.values(),
  ]);
  return [...new Set(controllers.map(({ metatype }) => metatype))].flatMap((type) => {
    if (typeof type !== 'function') return [];
    const bases = [Reflect.getMetadata(PATH_METADATA, type) as string | string[]].flat();
    const handlers = type.prototype as Record<string, object>;
    return Object.getOwnPropertyNames(handlers).flatMap((name) => {
      const handler = handlers[name] ?? {};
      const verb = Reflect.getMetadata(METHOD_METADATA, handler) as RequestMethod | undefined;
      if (verb === undefined) return [];
      const ends = [Reflect.getMetadata(PATH_METADATA, handler) as string | string[]].flat();
      const paths = bases.flatMap((base) =>
        ends.map((end) => `/${base}/${end}`.replaceAll(/\/+/g, '/').replace(/\/$/, '')),
      );
      return paths
        .filter((path) => path.startsWith('/v1/') && path !== '/v1/openapi.json')
        .map((path) => `${RequestMethod[verb]} ${path.replaceAll(/:(\w+)/g, '{$1}')}`);
    });
  });
}

describe('the description of the API', () => {
  it('can be downloaded by anybody, and is a valid OpenAPI 3.1 document', async () => {
    const answer = await test.app.inject({ url: '/v1/openapi.json' });
    expect(answer.statusCode).toBe(200);
    expect(answer.headers).toMatchObject({
      'content-type': 'application/json; charset=utf-8',
      'content-disposition': 'attachment; filename="as-noted-openapi.json"',
    });
    // The schema of the OpenAPI Initiative for 3.1, as this npm package ships it.
    const { valid, errors } = await new Validator().validate({ ...document });
    expect([valid, errors]).toEqual([true, undefined]);
    expect(document.openapi).toMatch(/^3\.1\./);
  });

  it('holds every route of every controller under /v1, and nothing else', () => {
    expect(operations.map(({ route }) => route).toSorted()).toEqual(routesOfControllers().toSorted());
  });

  it('names every operation once and says what it does', () => {
    const ids = operations.map(({ operation }) => operation.operationId);
    expect(new Set(ids).size).toBe(ids.length);
    for (const { route, operation } of operations)
      expect(operation.summary, `${route} has no summary`).toMatch(/^[A-Z]/);
  });

  it('documents the Idempotency-Key on every POST that creates something', () => {
    const without = operations.flatMap(({ route, operation }) =>
      route.startsWith('POST ') && !headersOf(operation).includes('Idempotency-Key') ? [route] : [],
    );
    expect(without.toSorted()).toEqual(NOT_CREATING.toSorted());
    const elsewhere = operations.filter(
      ({ route, operation }) => !route.startsWith('POST ') && headersOf(operation).includes('Idempotency-Key'),
    );
    expect(elsewhere).toEqual([]);
  });

  it('documents If-Match on every act on a claim', () => {
    const acts = operations.filter(({ route }) => route.startsWith('POST /v1/claims/{id}/'));
    expect(acts.length).toBeGreaterThanOrEqual(12);
    for (const { route, operation } of acts) expect(headersOf(operation), `header of ${route}`).toContain('If-Match');
  });

  it('says with each operation which problems it answers, all of them from the catalogue', () => {
    for (const { route, operation } of operations) {
      expect(operation.responses['default']?.content, `default of ${route}`).toHaveProperty('application/problem+json');
      for (const { description } of Object.values(operation.responses)) {
        for (const [, code = ''] of description.matchAll(/\(\/problems\/([a-z-]+)\)/g))
          expect(isProblemCode(code), `${route} names the problem ${code}`).toBe(true);
      }
    }
  });
});

describe('what was promised', () => {
  const file = join(projectRoot(), 'docs', 'api', 'routes.json');
  /** By route: the headers that a request must carry, and pointers to the fields that its body must hold. */
  const current = (): Record<string, string> =>
    Object.fromEntries(
      operations
        .toSorted((a, b) => (a.path === b.path ? a.route.localeCompare(b.route) : a.path.localeCompare(b.path)))
        .map(({ route, operation }) => {
          const fields = requiredFields(operation).map((name) => `#/${name}`);
          return [route, [...headersOf(operation).toSorted(), ...fields].join(' ')];
        }),
    );

  it('is kept: no route went, and none asks for more than before (a breaking change needs a decision page)', async () => {
    const before = JSON.parse(await readFile(file, 'utf8')) as Record<string, string>;
    const now = current();
    const broken = Object.entries(before).flatMap(([route, needs]) => {
      const wants = now[route]?.split(' ');
      if (wants === undefined) return [`${route} is gone`];
      return wants.filter((each) => !needs.split(' ').includes(each)).map((each) => `${route} now demands ${each}`);
    });
    expect(broken).toEqual([]);
  });

  it('is written down: docs/api/routes.json holds every route (npx vitest -u adds what is new)', async () => {
    await expect(`${JSON.stringify(current(), null, 2)}\n`).toMatchFileSnapshot(file);
  });
});
