import type { OpenAPIObject } from '@nestjs/swagger';
import type { InjectOptions } from 'fastify';
import { describeApi } from '../../src/platform/http/openapi.js';
import type { ProblemCode } from '../../src/platform/http/problems.js';
import type { TestApp } from './test-app.js';

/** What any address may be answered with, before the route itself has a say; the default response of every operation stands for them. */
const EVERYWHERE: readonly ProblemCode[] = [
  'invalid-request',
  'malformed-json',
  'body-too-large',
  'unsupported-media-type',
  'method-not-allowed',
  'sign-in-required',
  'link-expired',
  'link-unknown',
  'not-allowed',
  'cross-site-request',
  'too-many-attempts',
  'unavailable',
];

const descriptions = new WeakMap<object, OpenAPIObject>();

/** Throws when a problem was answered that the description of its route does not name. */
export function demandDocumented(
  { app }: TestApp,
  { method, url }: InjectOptions,
  answer: { readonly headers: Readonly<Record<string, unknown>>; readonly body: string },
): void {
  if (answer.headers['content-type'] !== 'application/problem+json') return;
  const code = (JSON.parse(answer.body) as { type: string }).type.replace('/problems/', '') as ProblemCode;
  // An address with a NUL character is answered before any route is looked for.
  if (typeof url !== 'string' || EVERYWHERE.includes(code) || url.includes('%00')) return;
  const description = descriptions.get(app) ?? describeApi(app);
  descriptions.set(app, description);
  const path = url.split('?', 1)[0] ?? '';
  const route = Object.keys(description.paths)
    .toSorted((a, b) => a.split('{').length - b.split('{').length)
    .find((template) => new RegExp(`^${template.replaceAll(/\{[^}]+\}/g, '[^/]+')}$`).test(path));
  if (route === undefined) return;
  const name = (method ?? 'GET').toLowerCase() as 'get' | 'post' | 'put' | 'delete';
  const responses = JSON.stringify(description.paths[route]?.[name]?.responses ?? {});
  if (!responses.includes(`/problems/${code})`))
    throw new Error(`${name} ${route} answered with ${code}, which its description does not name`);
}
