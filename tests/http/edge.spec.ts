import { Readable } from 'node:stream';
import { Body, Controller, Get, HttpCode, HttpException, Post, Put, Query, Req, Res } from '@nestjs/common';
import { Type } from 'class-transformer';
import { IsArray, IsInt, IsOptional, IsString, ValidateNested } from 'class-validator';
import type { FastifyReply, FastifyRequest, InjectOptions } from 'fastify';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { Actor } from '../../src/access/access.contract.js';
import { CurrentActor, Public } from '../../src/access/access.decorators.js';
import { Database } from '../../src/platform/db/database.js';
import { scopeOf } from '../../src/platform/http/caller.js';
import { Creates } from '../../src/platform/http/idempotency.js';
import { IdParam } from '../../src/platform/http/id.pipe.js';
import { PageQuery } from '../../src/platform/http/pages.js';
import { Refused } from '../../src/platform/http/problems.js';
import { IfMatch, NeedsVersion, setVersion, type VersionMatch } from '../../src/platform/http/versions.js';
import { person, tenant } from '../support/tenants.js';
import { TEST_START, testApp, type TestApp } from '../support/test-app.js';
import { freshDatabase } from '../support/test-database.js';
import { newToken } from '../../src/access/crypto/tokens.js';

class Inner {
  @IsInt()
  count: number;
}

class ProbeBody {
  @IsString()
  name: string;

  @IsOptional()
  @IsArray()
  @ValidateNested({ each: true })
  @Type(() => Inner)
  parts?: Inner[];
}

/** Lets a test hold a request in the middle of its work. */
class Gate {
  private opened: Promise<void> = Promise.resolve();
  open: () => void = () => undefined;
  reached: Promise<void> = Promise.resolve();
  private arrive: () => void = () => undefined;

  shut(): void {
    this.opened = new Promise((resolve) => {
      this.open = resolve;
    });
    this.reached = new Promise((resolve) => {
      this.arrive = resolve;
    });
  }

  async pass(): Promise<void> {
    this.arrive();
    await this.opened;
  }
}
const gate = new Gate();

/** Every kind of answer, so that the edge can be tested without any of the real modules. */
@Controller('v1/probe')
class ProbeController {
  constructor(private readonly db: Database) {}

  @Post()
  @Creates()
  create(
    @CurrentActor() actor: Actor,
    @Body() body: ProbeBody,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<{ id: string; name: string }> {
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const rows = await tx.query<{ id: string }[]>(
        'insert into retailer (tenant_id, name, code) values ($1, $2, gen_random_uuid()::text) returning id',
        [actor.tenant, body.name],
      );
      await gate.pass();
      if (body.name === 'refused') throw new Refused('claim-state-forbids', 'No.', { state: 'closed' });
      if (body.name === 'broken') throw new Error('secret inner text');
      setVersion(reply, 1);
      void reply.header('location', `/v1/probe/${rows[0]?.id}`);
      return { id: rows[0]?.id ?? '', name: body.name };
    });
  }

  @Put('versions/:id')
  @NeedsVersion()
  version(
    @IdParam('id') id: string,
    @IfMatch() match: VersionMatch,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): object {
    match.demand(3);
    setVersion(reply, 4);
    return { id };
  }

  @Public()
  @Get('foreign')
  foreign(): never {
    // Looks like an error of a framework; nothing of it may reach the client.
    throw Object.assign(new Error('password is hunter2'), { status: 404, statusCode: 404, code: 'E_TEAPOT' });
  }

  @Public()
  @Get('http-exception')
  httpException(): never {
    throw new HttpException('inner words', 418);
  }

  @Public()
  @Get('no-error')
  noError(): never {
    // eslint-disable-next-line no-throw-literal
    throw { status: 401, message: 'not even an error' };
  }

  @Public()
  @Get('list')
  list(@Query() query: PageQuery): PageQuery {
    return query;
  }

  @Public()
  @Put('photos/:id')
  @HttpCode(200)
  async photo(@Req() request: FastifyRequest): Promise<{ bytes: number }> {
    let bytes = 0;
    for await (const chunk of request.body as Readable) bytes += (chunk as Buffer).length;
    return { bytes };
  }
}

const data = freshDatabase();
let test: TestApp;
let token: string;
let home: string;

beforeAll(async () => {
  test = await testApp(data().url, {
    controllers: [ProbeController],
    env: { AS_NOTED_LOG_LEVEL: 'info', AS_NOTED_UPLOAD_MIB: '1', AS_NOTED_BODY_KIB: '16' },
    errorPage: (problem) => (problem.status === 401 ? { redirect: '/sign-in' } : { html: `<h1>${problem.title}</h1>` }),
  });
});
afterAll(() => test.app.close());
beforeEach(async () => {
  test.clock.moveTo(TEST_START);
  test.lines.length = 0;
  home = await tenant(data());
  token = await session(home);
});

async function session(of: string): Promise<string> {
  const who = await person(data(), of, ['analyst']);
  const made = newToken('session');
  await data().rows(
    'insert into session (token_hash, tenant_id, person_id, created_at, last_seen_at, expires_at) values ($1, $2, $3, $4, $4, $5)',
    [made.hash, of, who.id, TEST_START.toString(), TEST_START.add({ hours: 12 }).toString()],
  );
  return made.text;
}

type Answer = Awaited<ReturnType<TestApp['app']['inject']>>;
const send = (options: InjectOptions): Promise<Answer> => test.app.inject(options);

function post(key: string | undefined, payload: object | string, as = token): Promise<Answer> {
  const headers = {
    authorization: `Bearer ${as}`,
    'content-type': 'application/json',
    ...(key === undefined ? {} : { 'idempotency-key': key }),
  };
  return send({ method: 'POST', url: '/v1/probe', headers, payload });
}
const problem = (answer: Answer): Record<string, unknown> => answer.json<Record<string, unknown>>();
const names = async (): Promise<string[]> =>
  (await data().rows<{ name: string }>('select name from retailer order by name')).map((row) => row.name);

describe('a problem answer (RFC 9457)', () => {
  it('carries type, title, status, detail, instance and the request id', async () => {
    const answer = await send({ url: '/v1/nowhere?x=1', headers: { 'x-request-id': 'phone-7.retry-2' } });
    expect(answer.headers['content-type']).toBe('application/problem+json');
    expect(problem(answer)).toEqual({
      type: '/problems/not-found',
      title: 'There is no such thing',
      status: answer.statusCode,
      detail: expect.any(String),
      instance: '/v1/nowhere',
      traceId: 'phone-7.retry-2',
    });
    expect(answer.headers['x-request-id']).toBe('phone-7.retry-2');
  });

  it.each(['foreign', 'http-exception', 'no-error'])('hides what happened inside: %s', async (route) => {
    const answer = await send({ url: `/v1/probe/${route}` });
    expect(problem(answer)).toMatchObject({ type: '/problems/server-error', status: 500 });
    expect(answer.body).not.toMatch(/hunter2|inner|even|stack|at /);
    const line = test.lines.find((each) => each['level'] === 'error');
    expect(line).toMatchObject({ requestId: problem(answer)['traceId'], msg: 'a request failed' });
    expect(line?.['err']).toHaveProperty('stack');
  });

  it.each([
    ['{"name": "x"', 'application/json', 'malformed-json'],
    ['', 'application/json', 'malformed-json'],
    ['{"__proto__": {"a": 1}}', 'application/json', 'malformed-json'],
    ['[]', 'application/json', 'invalid-request'],
    ['null', 'application/json', 'invalid-request'],
    ['"text"', 'application/json', 'invalid-request'],
    ['<a/>', 'application/xml', 'unsupported-media-type'],
    ['name=x', 'application/x-www-form-urlencoded', 'unsupported-media-type'],
    ['name', 'text/plain', 'unsupported-media-type'],
    ['x', 'image/jpeg', 'unsupported-media-type'],
    [JSON.stringify({ name: 'x'.repeat(17_000) }), 'application/json', 'body-too-large'],
  ])('for a body %# of kind %s is clear', async (payload, type, code) => {
    const headers = { authorization: `Bearer ${token}`, 'content-type': type, 'idempotency-key': '"k"' };
    const answer = await send({ method: 'POST', url: '/v1/probe', headers, payload });
    expect(problem(answer)['type']).toBe(`/problems/${code}`);
    expect(answer.statusCode).toBe(problem(answer)['status']);
    expect(await names()).toEqual([]);
  });

  it('tells an unknown address from a method that it does not take', async () => {
    const answer = await send({ method: 'DELETE', url: '/v1/probe/list' });
    expect(problem(answer)).toMatchObject({ type: '/problems/method-not-allowed', status: 405 });
    expect(answer.headers['allow']).toBe('GET, HEAD');
  });

  it('lists every mistake with its place, also unknown fields and nested ones', async () => {
    const answer = await post('"k1"', { name: 7, parts: [{ count: 1 }, { count: 'two', colour: 'red' }], naem: 'x' });
    expect(problem(answer)['errors']).toEqual([
      { pointer: '#/naem', detail: '"naem" is not a field here. Check its spelling or leave it out.' },
      { pointer: '#/name', detail: 'Name must be a string.' },
      { pointer: '#/parts/1/colour', detail: '"colour" is not a field here. Check its spelling or leave it out.' },
      { pointer: '#/parts/1/count', detail: 'Count must be an integer number.' },
    ]);
  });

  it('turns text into numbers in queries only', async () => {
    expect((await send({ url: '/v1/probe/list?limit=7' })).json()).toEqual({ limit: 7 });
    expect((await send({ url: '/v1/probe/list?limit=seven' })).statusCode).toBe(400);
    expect((await send({ url: '/v1/probe/list?colour=red' })).statusCode).toBe(400);
    expect((await post('"k2"', { name: 'x', parts: [{ count: '7' }] })).statusCode).toBe(400);
  });

  it('is a page or a redirection for a browser outside the API', async () => {
    const page = await send({ url: '/nowhere', headers: { accept: 'text/html,*/*' } });
    expect(page.headers['content-type']).toBe('text/html; charset=utf-8');
    expect(page.body).toBe('<h1>There is no such thing</h1>');
    expect(page.headers['content-security-policy']).toContain(`default-src 'self'`);
    const data = await send({ url: '/v1/nowhere', headers: { accept: 'text/html' } });
    expect(data.headers['content-type']).toBe('application/problem+json');
  });
});

describe('creating with an Idempotency-Key', () => {
  it('needs one in double quotes (400)', async () => {
    for (const key of [undefined, '', '8e03978e-40d5', '"open', '""', `"${'x'.repeat(256)}"`, '"a" "b"', '"é"']) {
      expect(problem(await post(key, { name: 'x' })), `${key}`).toMatchObject({
        type: '/problems/idempotency-key-missing',
        status: 400,
      });
    }
    expect(await names()).toEqual([]);
  });

  it('answers a repetition with the first result and does nothing again', async () => {
    const first = await post('"8e03978e-40d5-43e8-bc93-6894a57f9324"', { name: 'once' });
    const again = await post('"8e03978e-40d5-43e8-bc93-6894a57f9324"', { name: 'once' });
    expect(first.statusCode).toBe(201);
    expect(again.statusCode).toBe(201);
    expect(again.json()).toEqual(first.json());
    for (const name of ['etag', 'location']) expect(again.headers[name]).toBe(first.headers[name]);
    expect(first.headers['idempotency-replayed']).toBeUndefined();
    expect(again.headers['idempotency-replayed']).toBe('true');
    expect(await names()).toEqual(['once']);
  });

  it('does not care in which order the members stand, but for what they say (422)', async () => {
    await post('"k"', '{"name":"a","parts":[{"count":1}]}');
    const turned = await post('"k"', '{ "parts": [{"count": 1}], "name": "a" }');
    expect(turned.headers['idempotency-replayed']).toBe('true');
    expect(problem(await post('"k"', { name: 'b' }))).toMatchObject({
      type: '/problems/idempotency-key-reused',
      status: 422,
    });
    expect(await names()).toEqual(['a']);
  });

  it('answers 409 while the first request runs, and with its result afterwards', async () => {
    gate.shut();
    const first = post('"slow"', { name: 'slow' });
    await gate.reached;
    const during = await post('"slow"', { name: 'slow' });
    expect(problem(during)).toMatchObject({ type: '/problems/idempotency-key-in-use', status: 409 });
    expect(during.headers['retry-after']).toBe('1');
    gate.open();
    expect((await first).statusCode).toBe(201);
    expect((await post('"slow"', { name: 'slow' })).headers['idempotency-replayed']).toBe('true');
    expect(await names()).toEqual(['slow']);
  });

  it('does the work once when twelve come at once', async () => {
    const answers = await Promise.all(Array.from({ length: 12 }, () => post('"race"', { name: 'race' })));
    const good = answers.filter((answer) => answer.statusCode === 201);
    const busy = answers.filter((answer) => answer.statusCode === 409);
    expect(good.length).toBeGreaterThan(0);
    expect(good.length + busy.length).toBe(12);
    expect(new Set(good.map((answer) => answer.body)).size).toBe(1);
    expect(await names()).toEqual(['race']);
  });

  it('keeps a refusal too, and nothing of what was refused', async () => {
    const first = await post('"no"', { name: 'refused' });
    const again = await post('"no"', { name: 'refused' });
    expect(problem(first)).toMatchObject({ type: '/problems/claim-state-forbids', status: 409, state: 'closed' });
    expect({ ...problem(again), traceId: '' }).toEqual({ ...problem(first), traceId: '' });
    expect(again.headers['idempotency-replayed']).toBe('true');
    expect(await names()).toEqual([]);
  });

  it('keeps neither mistakes nor faults of ours: both can be sent again', async () => {
    expect((await post('"fix"', { name: 7 })).statusCode).toBe(400);
    expect((await post('"fix"', { name: 'fixed' })).statusCode).toBe(201);
    expect((await post('"bug"', { name: 'broken' })).statusCode).toBe(500);
    expect((await post('"bug"', { name: 'mended' })).statusCode).toBe(201);
    expect(await names()).toEqual(['fixed', 'mended']);
  });

  it('is the business of one client: others may use the same key', async () => {
    const [colleague, stranger] = [await session(home), await session(await tenant(data()))];
    for (const as of [token, colleague, stranger]) {
      const answer = await post('"same"', { name: 'mine' }, as);
      expect(answer.statusCode).toBe(201);
      expect(answer.headers['idempotency-replayed']).toBeUndefined();
    }
    expect(await names()).toEqual(['mine', 'mine', 'mine']);
  });

  it('is forgotten after 24 hours', async () => {
    await post('"day"', { name: 'a' });
    test.clock.advance({ hours: 24 });
    await data().rows('update session set last_seen_at = $1, expires_at = $2', [
      test.clock.now().toString(),
      test.clock.now().add({ hours: 1 }).toString(),
    ]);
    expect((await post('"day"', { name: 'b' })).statusCode).toBe(201);
    expect(await data().rows('select key from idempotency_key')).toHaveLength(1);
  });
});

describe('If-Match (RFC 9110 section 13.1.1)', () => {
  const url = '/v1/probe/versions/8e03978e-40d5-43e8-bc93-6894a57f9324';
  it.each([
    ['"v3"', 200, undefined],
    ['"v1", "v3"', 200, undefined],
    ['*', 200, undefined],
    ['"v2"', 412, 'version-changed'],
    ['W/"v3"', 412, 'version-changed'],
    ['"other"', 412, 'version-changed'],
    ['v3', 400, 'invalid-request'],
    ['*, "v3"', 400, 'invalid-request'],
    [undefined, 428, 'precondition-required'],
  ])('%s gets %i', async (match, status, code) => {
    const headers = { authorization: `Bearer ${token}`, ...(match === undefined ? {} : { 'if-match': match }) };
    const answer = await send({ method: 'PUT', url, headers });
    expect(answer.statusCode).toBe(status);
    if (code === undefined) expect(answer.headers['etag']).toBe('"v4"');
    else expect(problem(answer)['type']).toBe(`/problems/${code}`);
  });

  it('does not help an id that cannot exist', async () => {
    const answer = await send({
      method: 'PUT',
      url: '/v1/probe/versions/7',
      headers: { authorization: `Bearer ${token}`, 'if-match': '"v3"' },
    });
    expect(answer.statusCode).toBe(404);
  });
});

describe('raw photo bytes', () => {
  const put = (payload: Buffer | Readable, type = 'image/jpeg'): Promise<Answer> =>
    send({ method: 'PUT', url: '/v1/probe/photos/1', headers: { 'content-type': type }, payload });

  it('arrive as a stream, whatever kind of image they claim to be', async () => {
    expect((await put(Buffer.alloc(900_000, 7))).json()).toEqual({ bytes: 900_000 });
    expect((await put(Buffer.alloc(10), 'application/octet-stream')).json()).toEqual({ bytes: 10 });
  });

  it('are refused past the limit, whether the length is told or not', async () => {
    expect(problem(await put(Buffer.alloc(1_048_577)))).toMatchObject({
      type: '/problems/photo-too-large',
      status: 413,
    });
    const untold = Readable.from(
      (function* () {
        for (let n = 0; n < 20; n += 1) yield Buffer.alloc(65_536);
      })(),
    );
    expect(problem(await put(untold))).toMatchObject({ type: '/problems/photo-too-large', status: 413 });
  });
});

describe('each answer', () => {
  it('carries protective headers', async () => {
    const { headers } = await send({ url: '/v1/probe/list' });
    expect(headers).toMatchObject({
      'x-content-type-options': 'nosniff',
      'referrer-policy': 'no-referrer',
      'cache-control': 'no-store',
      'content-security-policy': `default-src 'none'; frame-ancestors 'none'; sandbox`,
    });
  });

  it('leaves one line with the route, never the address, and with who asked', async () => {
    await send({ url: '/v1/me?token=anl_secret', headers: { authorization: `Bearer ${token}` } });
    const lines = test.lines.filter((line) => line['msg'] === 'request');
    expect(lines).toHaveLength(1);
    expect(lines[0]).toMatchObject({ method: 'GET', route: '/v1/me', status: 200, tenant: home });
    expect(lines[0]?.['actor']).toMatch(/^person:/);
    expect(JSON.stringify(test.lines)).not.toMatch(/anl_secret|ans_/);
  });

  it('does not repeat a request id that could break a log', async () => {
    const answer = await send({ url: '/livez', headers: { 'x-request-id': 'a b"}\u00e9' } });
    expect(answer.headers['x-request-id']).toMatch(/^[0-9a-f-]{36}$/);
  });
});

describe('the watchers', () => {
  it('see that it lives, is ready, and how it does', async () => {
    expect((await send({ url: '/livez' })).json()).toEqual({ live: true });
    expect((await send({ url: '/readyz' })).json()).toEqual({ ready: true });
    const metrics = (await send({ url: '/metrics' })).body;
    expect(metrics).toContain('http_request_duration_seconds_bucket');
    expect(metrics).toContain('process_cpu_seconds_total');
    expect(metrics).toMatch(/route="\/v1\/probe\/list"/);
  });

  it('see that it is not ready when a migration is missing', async () => {
    await data().rows(`update schema_migration set name = name || '-gone'`);
    try {
      expect(problem(await send({ url: '/readyz' }))).toMatchObject({ type: '/problems/unavailable', status: 503 });
    } finally {
      await data().rows(`update schema_migration set name = replace(name, '-gone', '')`);
    }
  });
});

describe('the page of a problem', () => {
  it('is where the type of the problem leads, for codes of the catalogue and for nothing else', async () => {
    const page = await send({ url: '/problems/own-claim' });
    expect([page.statusCode, page.headers['content-type']]).toEqual([200, 'text/plain; charset=utf-8']);
    expect(page.body).toContain('# Nobody decides a claim that they filed');
    for (const code of ['no-such-code', 'toString', '..%2f..%2fpackage.json', 'own-claim.md']) {
      expect((await send({ url: `/problems/${code}` })).statusCode, code).toBe(404);
    }
  });
});
