import { Ajv2020 } from 'ajv/dist/2020.js';
import { Body, Controller, Module, Post } from '@nestjs/common';
import { Type } from 'class-transformer';
import { IsArray, IsIn, IsInt, IsOptional, IsString, Length, Max, Min, ValidateNested } from 'class-validator';
import { describe, expect, it } from 'vitest';
import { asVersion31, describeApi } from '../../src/platform/http/openapi.js';
import { loadConfig } from '../../src/platform/config/config.js';
import { httpApp } from '../../src/platform/http/http-app.js';
import { PlatformModule } from '../../src/platform/platform.module.js';
import { AccessModule } from '../../src/access/access.module.js';
import { openLog } from '../../src/platform/telemetry/log.js';

class Part {
  @IsInt()
  @Min(1)
  @Max(9)
  pieces: number;
}

class Sample {
  @IsString()
  @Length(2, 40)
  name: string;

  @IsOptional()
  @IsIn(['red', 'blue'])
  colour?: string;

  @IsArray()
  @ValidateNested({ each: true })
  @Type(() => Part)
  parts: Part[];
}

@Controller('v1/samples')
class SampleController {
  @Post()
  add(@Body() _body: Sample): void {}
}

/** Holds nothing itself. */
@Module({})
class Root {}

async function document(): Promise<ReturnType<typeof describeApi>> {
  const config = loadConfig({ AS_NOTED_MODE: 'test' });
  const log = openLog('silent');
  const root = {
    module: Root,
    imports: [PlatformModule.with({ config, log, entities: [], migrations: [] }), AccessModule],
    controllers: [SampleController],
  };
  // Wired, but neither initialised nor connected: there is no database in this file.
  return describeApi(await httpApp(root, config, log));
}

describe('the description of the API', () => {
  it('is made without a database and is OpenAPI 3.1', async () => {
    const made = await document();
    expect(made.openapi).toBe('3.1.0');
    expect(Object.keys(made.paths)).toContain('/v1/sessions');
    expect(Object.keys(made.paths).every((path) => path.startsWith('/v1'))).toBe(true);
    expect(Object.keys(made.paths)).not.toContain('/v1/openapi.json');
  });

  it('holds schemas that JSON Schema 2020-12 accepts, and every reference leads somewhere', async () => {
    const made = await document();
    const schemas = made.components?.schemas ?? {};
    const ajv = new Ajv2020({ strict: false, validateFormats: false });
    ajv.addSchema({ $id: 'doc', components: { schemas } });
    for (const name of Object.keys(schemas)) {
      expect(() => ajv.compile({ $ref: `doc#/components/schemas/${name}` }), `schema ${name}`).not.toThrow();
      expect(ajv.validateSchema(schemas[name] as object), `schema ${name}`).toBe(true);
    }
    for (const [, name = ''] of JSON.stringify(made).matchAll(/"#\/components\/schemas\/([^"]+)"/g)) {
      expect(Object.keys(schemas)).toContain(name);
    }
  });

  it('says of a body what the check demands', async () => {
    const schemas = (await document()).components?.schemas ?? {};
    expect(schemas['Sample']).toEqual({
      type: 'object',
      required: ['name', 'parts'],
      properties: {
        name: { type: 'string', minLength: 2, maxLength: 40 },
        colour: { type: 'string', enum: ['red', 'blue'] },
        parts: { type: 'array', items: { $ref: '#/components/schemas/Part' } },
      },
    });
    expect(schemas['Part']).toMatchObject({ properties: { pieces: { type: 'integer', minimum: 1, maximum: 9 } } });
  });

  it('names the key on each creating route and the problem document on all', async () => {
    const people = (await document()).paths['/v1/people']?.post;
    expect(people?.parameters).toContainEqual(
      expect.objectContaining({ name: 'Idempotency-Key', in: 'header', required: true }),
    );
    expect(people?.responses).toHaveProperty(['default', 'content', 'application/problem+json']);
  });

  it('writes 3.0 habits in the 3.1 way', () => {
    const turned = asVersion31({
      openapi: '3.0.0',
      info: { title: 't', version: '1' },
      paths: {},
      components: {
        schemas: {
          A: { type: 'string', nullable: true },
          B: { type: 'number', minimum: 0, exclusiveMinimum: true } as never,
          C: { allOf: [{ $ref: '#/x' }], nullable: true },
        },
      },
    });
    expect(turned.components?.schemas).toMatchObject({
      A: { type: ['string', 'null'] },
      B: { type: 'number', exclusiveMinimum: 0 },
      C: { anyOf: [{ allOf: [{ $ref: '#/x' }] }, { type: 'null' }] },
    });
  });
});
