import type { INestApplication } from '@nestjs/common';
import { DocumentBuilder, SwaggerModule, type OpenAPIObject } from '@nestjs/swagger';
import { describeFromValidation } from './openapi-from-validation.js';

const PROBLEM = {
  type: 'object',
  description: 'RFC 9457. `type` is /problems/ and a code; docs/problems explains each.',
  required: ['type', 'title', 'status', 'detail', 'instance', 'traceId'],
  properties: {
    type: { type: 'string', format: 'uri-reference' },
    title: { type: 'string' },
    status: { type: 'integer' },
    detail: { type: 'string' },
    instance: { type: 'string', format: 'uri-reference' },
    traceId: { type: 'string' },
    errors: {
      type: 'array',
      items: {
        type: 'object',
        required: ['pointer', 'detail'],
        properties: { pointer: { type: 'string' }, detail: { type: 'string' } },
      },
    },
  },
} as const;

/**
 * The description of the API as OpenAPI 3.1. Needs the modules to be wired, not the database: `NestFactory.create` is enough.
 * Only addresses under /v1 are part of it.
 */
export function describeApi(app: INestApplication): OpenAPIObject {
  describeFromValidation();
  const base = new DocumentBuilder()
    .setTitle('As Noted')
    .setDescription(
      'Claims on motorised furniture: from the visit to the money. Not legal advice: local law and the written warranty prevail.',
    )
    .setVersion('1')
    .setOpenAPIVersion('3.1.0')
    .setLicense('Unlicensed', '')
    .addBearerAuth({
      type: 'http',
      scheme: 'bearer',
      description: 'A session token, an API key or a visit link token.',
    })
    .addCookieAuth('as_noted_session', { type: 'apiKey', in: 'cookie', name: 'as_noted_session' })
    .build();
  const document = SwaggerModule.createDocument(app, base, {
    operationIdFactory: (controller, method) => `${controller.replace(/Controller$/, '')}.${method}`,
  });
  return asVersion31(document);
}

type Json = null | boolean | number | string | Json[] | { [name: string]: Json };

/** @nestjs/swagger writes the schema dialect of OpenAPI 3.0; 3.1 takes JSON Schema 2020-12, which says some things differently. */
export function asVersion31(document: OpenAPIObject): OpenAPIObject {
  const whole = schemaDialect(JSON.parse(JSON.stringify(document)) as Json) as unknown as OpenAPIObject;
  const paths = Object.fromEntries(Object.entries(whole.paths).filter(([path]) => path.startsWith('/v1')));
  for (const path of Object.values(paths)) {
    for (const operation of Object.values(path as Record<string, { responses?: Record<string, unknown> }>)) {
      if (operation.responses === undefined) continue;
      operation.responses['default'] ??= {
        description: 'A problem',
        content: { 'application/problem+json': { schema: { $ref: '#/components/schemas/Problem' } } },
      };
    }
  }
  const { license: _license, ...info } = whole.info;
  return {
    ...whole,
    openapi: '3.1.0',
    info,
    paths,
    components: {
      ...whole.components,
      schemas: { ...whole.components?.schemas, Problem: PROBLEM as unknown as Record<string, never> },
    },
    security: [{ bearer: [] }, { as_noted_session: [] }],
  };
}

function schemaDialect(node: Json): Json {
  if (Array.isArray(node)) return node.map(schemaDialect);
  if (node === null || typeof node !== 'object') return node;
  const copy = Object.fromEntries(Object.entries(node).map(([name, value]) => [name, schemaDialect(value)]));
  if (copy['nullable'] === true) {
    delete copy['nullable'];
    if (typeof copy['type'] === 'string') copy['type'] = [copy['type'], 'null'];
    else return { anyOf: [copy, { type: 'null' }] };
  }
  for (const [flag, bound] of [
    ['exclusiveMinimum', 'minimum'],
    ['exclusiveMaximum', 'maximum'],
  ] as const) {
    const limit = copy[bound];
    if (copy[flag] === true && limit !== undefined) {
      copy[flag] = limit;
      delete copy[bound];
    } else if (copy[flag] === false) delete copy[flag];
  }
  return copy;
}
