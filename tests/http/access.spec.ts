import type { InjectOptions } from 'fastify';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { isBelowCost, hashPassword } from '../../src/access/crypto/password-hash.js';
import { PASSWORD, person, retailer, tenant, visit, type TestPerson } from '../support/tenants.js';
import { TEST_START, testApp, type TestApp } from '../support/test-app.js';
import { freshDatabase } from '../support/test-database.js';

const data = freshDatabase();
let test: TestApp;
let home: string;
let analyst: TestPerson;
let administrator: TestPerson;

beforeAll(async () => {
  test = await testApp(data().url, {
    env: { AS_NOTED_LOG_LEVEL: 'info', AS_NOTED_PUBLIC_URL: 'https://claims.example.test' },
  });
});
afterAll(() => test.app.close());
beforeEach(async () => {
  test.clock.moveTo(TEST_START);
  home = await tenant(data());
  analyst = await person(data(), home, ['analyst']);
  administrator = await person(data(), home, ['administrator']);
});

type Answer = Awaited<ReturnType<TestApp['app']['inject']>>;

function send(options: InjectOptions): Promise<Answer> {
  return test.app.inject(options);
}

function signIn(email: string, password = PASSWORD, more: object = {}, address = '203.0.113.7'): Promise<Answer> {
  return send({ method: 'POST', url: '/v1/sessions', payload: { email, password, ...more }, remoteAddress: address });
}

async function tokenOf(who: TestPerson): Promise<string> {
  return (await signIn(who.email, PASSWORD, { use: 'bearer' })).json<{ token: string }>().token;
}

const bearer = (token: string): Record<string, string> => ({ authorization: `Bearer ${token}` });
const me = (token: string): Promise<Answer> => send({ url: '/v1/me', headers: bearer(token) });

let keys = 0;
const idempotent = (): Record<string, string> => ({ 'idempotency-key': `"access-${(keys += 1)}"` });

describe('signing in', () => {
  it('gives a browser a cookie that scripts cannot read, and no token', async () => {
    const answer = await signIn(analyst.email);
    expect(answer.statusCode).toBe(201);
    expect(answer.json()).toEqual({
      expiresAt: '2026-03-02T21:00:00.000Z',
      person: { id: analyst.id, name: expect.any(String), roles: ['analyst'] },
    });
    expect(answer.headers['set-cookie']).toMatch(
      /^as_noted_session=ans_[\w-]{43}; Path=\/; Expires=[^;]+; HttpOnly; Secure; SameSite=Lax$/,
    );
    const cookie = String(answer.headers['set-cookie']).split(';')[0] ?? '';
    expect((await send({ url: '/v1/me', headers: { cookie } })).json()).toMatchObject({
      kind: 'person',
      id: analyst.id,
    });
  });

  it('gives a program a token when it asks for one, and takes e-mail addresses in any case', async () => {
    const answer = await signIn(` ${analyst.email.toUpperCase()} `, PASSWORD, { use: 'bearer' });
    expect(answer.headers['set-cookie']).toBeUndefined();
    expect((await me(answer.json<{ token: string }>().token)).statusCode).toBe(200);
  });

  it('answers unknown people, wrong passwords and people shut out alike (ASVS 5.0, 6.3.8)', async () => {
    await data().rows('update person set disabled_at = now() where id = $1', [administrator.id]);
    const answers = [
      await signIn('nobody@example.test'),
      await signIn(analyst.email, 'wrong password here'),
      await signIn(administrator.email),
    ];
    const bodies = answers.map((answer) => ({ ...answer.json<Record<string, unknown>>(), traceId: '' }));
    expect(bodies[0]).toMatchObject({ status: 401, type: '/problems/sign-in-refused' });
    expect(bodies[1]).toEqual(bodies[0]);
    expect(bodies[2]).toEqual(bodies[0]);
    for (const answer of answers) expect(answer.headers['set-cookie']).toBeUndefined();
  });

  it('is throttled by account, also for accounts that do not exist, and free again after 15 minutes', async () => {
    for (const email of [analyst.email, 'nobody@example.test']) {
      for (let n = 0; n < 10; n += 1) expect((await signIn(email, 'no', {}, `203.0.113.${n}`)).statusCode).toBe(401);
      const refused = await signIn(email, PASSWORD, {}, '203.0.113.99');
      expect(refused.statusCode).toBe(429);
      expect(refused.headers['retry-after']).toBe('900');
    }
    test.clock.advance({ minutes: 16 });
    expect((await signIn(analyst.email)).statusCode).toBe(201);
  });

  it('is throttled by address over all accounts', async () => {
    await data().rows(
      `insert into sign_in_attempt (email_hash, address, at) select sha256(n::text::bytea), '198.51.100.1', $1 from generate_series(1, 60) n`,
      [TEST_START.toString()],
    );
    expect((await signIn(analyst.email, PASSWORD, {}, '198.51.100.1')).statusCode).toBe(429);
    expect((await signIn(analyst.email, PASSWORD, {}, '198.51.100.2')).statusCode).toBe(201);
  });

  it('lets no more tries through when they come all at once', async () => {
    const answers = await Promise.all(
      Array.from({ length: 14 }, (_, n) => signIn(analyst.email, 'no', {}, `192.0.2.${n}`)),
    );
    expect(answers.filter((answer) => answer.statusCode === 401)).toHaveLength(10);
    expect(answers.filter((answer) => answer.statusCode === 429)).toHaveLength(4);
  });

  it('makes a hash again that cost less than today', async () => {
    const weak = await hashPassword(PASSWORD, { memoryKib: 8192, passes: 1, lanes: 1 });
    await data().rows('update person set password_hash = $2 where id = $1', [analyst.id, weak]);
    expect((await signIn(analyst.email)).statusCode).toBe(201);
    const rows = await data().rows<{ h: string }>('select password_hash h from person where id = $1', [analyst.id]);
    expect(isBelowCost(rows[0]?.h ?? '')).toBe(false);
    expect((await signIn(analyst.email)).statusCode).toBe(201);
  });

  it('keeps neither token nor password in the database or in the log', async () => {
    const token = await tokenOf(analyst);
    await me(token);
    const rows = await data().rows('select * from session, person');
    const everything = JSON.stringify(rows) + JSON.stringify(test.lines);
    expect(everything).not.toContain(token);
    expect(everything).not.toContain(PASSWORD);
  });
});

describe('a session', () => {
  it('ends after 30 minutes without a request, and after 12 hours in any case (SP 800-63B, AAL2)', async () => {
    const idle = await tokenOf(analyst);
    test.clock.advance({ minutes: 29 });
    expect((await me(idle)).statusCode).toBe(200);
    test.clock.advance({ minutes: 29 });
    expect((await me(idle)).statusCode).toBe(200);
    test.clock.advance({ minutes: 30 });
    expect((await me(idle)).statusCode).toBe(401);

    const busy = await tokenOf(analyst);
    for (let minutes = 0; minutes < 12 * 60 - 20; minutes += 20) {
      test.clock.advance({ minutes: 20 });
      expect((await me(busy)).statusCode).toBe(200);
    }
    test.clock.advance({ minutes: 20 });
    expect((await me(busy)).statusCode).toBe(401);
  });

  it('ends when the person signs out, and the cookie goes', async () => {
    const cookie = String((await signIn(analyst.email)).headers['set-cookie']).split(';')[0] ?? '';
    const out = await send({
      method: 'DELETE',
      url: '/v1/sessions/current',
      headers: { cookie, 'sec-fetch-site': 'same-origin' },
    });
    expect(out.statusCode).toBe(204);
    expect(out.headers['set-cookie']).toMatch(/^as_noted_session=; .*Expires=Thu, 01 Jan 1970/);
    expect((await send({ url: '/v1/me', headers: { cookie } })).statusCode).toBe(401);
  });

  it('ends at once when the person is shut out', async () => {
    const token = await tokenOf(analyst);
    const boss = await tokenOf(administrator);
    const url = `/v1/people/${analyst.id}/disablement`;
    const disabled = await send({ method: 'POST', url, headers: { ...bearer(boss), ...idempotent() } });
    expect(disabled.statusCode).toBe(201);
    expect((await me(token)).statusCode).toBe(401);
    expect((await signIn(analyst.email)).statusCode).toBe(401);
    await send({ method: 'DELETE', url, headers: bearer(boss) });
    expect((await signIn(analyst.email)).statusCode).toBe(201);
  });

  it('can be seen and ended from another one, but only by its person', async () => {
    const [first, second, stranger] = [await tokenOf(analyst), await tokenOf(analyst), await tokenOf(administrator)];
    const list = (await send({ url: '/v1/sessions', headers: bearer(first) })).json<{ items: { id: string }[] }>();
    expect(list.items).toHaveLength(2);
    const id = list.items[0]?.id ?? '';
    const url = `/v1/sessions/${id}`;
    expect((await send({ method: 'DELETE', url, headers: bearer(stranger) })).statusCode).toBe(404);
    expect((await send({ method: 'DELETE', url, headers: bearer(first) })).statusCode).toBe(204);
    const alive = [(await me(first)).statusCode, (await me(second)).statusCode].sort((a, b) => a - b);
    expect(alive).toEqual([200, 401]);
  });

  it('is needed: nothing else opens, not even half a header', async () => {
    expect((await send({ url: '/v1/me' })).json()).toMatchObject({ status: 401, type: '/problems/sign-in-required' });
    const cookie = String((await signIn(analyst.email)).headers['set-cookie']).split(';')[0] ?? '';
    const wrong = await send({ url: '/v1/me', headers: { cookie, authorization: 'Basic eDp5' } });
    expect(wrong.statusCode).toBe(401);
    expect(wrong.headers['www-authenticate']).toBe('Bearer realm="As Noted"');
  });
});

describe('a request from another site', () => {
  it.each([
    [{ 'sec-fetch-site': 'cross-site' }, 403],
    [{ 'sec-fetch-site': 'same-site' }, 403],
    [{ origin: 'https://evil.example' }, 403],
    [{ origin: 'null' }, 403],
    [{ 'sec-fetch-site': 'same-origin', origin: 'https://claims.example.test' }, 201],
    [{ origin: 'https://claims.example.test' }, 201],
    [{}, 201],
  ])('with %j gets %i', async (headers, status) => {
    const payload = { email: analyst.email, password: PASSWORD };
    const answer = await send({ method: 'POST', url: '/v1/sessions', headers, payload });
    expect(answer.statusCode).toBe(status);
  });

  it('may read, and may change things with a token that no browser sends by itself', async () => {
    const token = await tokenOf(analyst);
    const headers = { ...bearer(token), 'sec-fetch-site': 'cross-site' };
    expect((await send({ url: '/v1/me', headers })).statusCode).toBe(200);
    expect((await send({ method: 'DELETE', url: '/v1/sessions/current', headers })).statusCode).toBe(204);
  });
});

describe('people', () => {
  const newcomer = {
    name: 'Ilse Brandt',
    email: 'Ilse@Example.test',
    password: 'seven grey geese fly',
    roles: ['crew'],
  };

  it('are added by administrators only', async () => {
    const [no, yes] = [await tokenOf(analyst), await tokenOf(administrator)];
    const post = (token: string): Promise<Answer> =>
      send({ method: 'POST', url: '/v1/people', headers: { ...bearer(token), ...idempotent() }, payload: newcomer });
    expect((await post(no)).json()).toMatchObject({ status: 403, type: '/problems/not-allowed' });
    const added = await post(yes);
    expect(added.statusCode).toBe(201);
    expect(added.json()).toMatchObject({ email: 'ilse@example.test', roles: ['crew'] });
    expect(JSON.stringify(added.json())).not.toMatch(/password|argon2/);
    expect((await signIn('ilse@example.test', newcomer.password)).statusCode).toBe(201);
    expect((await post(yes)).json()).toMatchObject({ status: 409, type: '/problems/email-taken' });
  });

  it.each([
    [{ password: 'short' }, 422, '#/password'],
    [{ roles: ['retailer'] }, 400, '#/retailer'],
    [{ roles: ['owner'] }, 400, '#/roles'],
    [{ roles: [] }, 400, '#/roles'],
    [{ email: 'no address' }, 400, '#/email'],
    [{ isAdmin: true }, 400, '#/isAdmin'],
  ])('with %j are refused with %i at %s', async (change, status, pointer) => {
    const headers = { ...bearer(await tokenOf(administrator)), ...idempotent() };
    const answer = await send({ method: 'POST', url: '/v1/people', headers, payload: { ...newcomer, ...change } });
    expect(answer.statusCode).toBe(status);
    expect(answer.json<{ errors: { pointer: string }[] }>().errors.map((error) => error.pointer)).toContain(pointer);
  });

  it('of another tenant are not there', async () => {
    const stranger = await person(data(), await tenant(data()), ['crew']);
    const headers = bearer(await tokenOf(administrator));
    expect((await send({ url: `/v1/people/${stranger.id}`, headers })).statusCode).toBe(404);
    const list = (await send({ url: '/v1/people', headers })).json<{ items: { id: string }[] }>();
    expect(list.items.map((item) => item.id).sort()).toEqual([analyst.id, administrator.id].sort());
  });

  it('come in pages that leave nobody out and repeat nobody', async () => {
    for (let n = 0; n < 5; n += 1) await person(data(), home, ['crew']);
    const headers = bearer(await tokenOf(administrator));
    const seen: string[] = [];
    for (let url: string | undefined = '/v1/people?limit=3'; url !== undefined;) {
      const answer = await send({ url, headers });
      seen.push(...answer.json<{ items: { id: string }[] }>().items.map((item) => item.id));
      expect(answer.headers['link']).toContain('</v1/people?limit=3>; rel="first"');
      url = /<([^>]+)>; rel="next"/.exec(String(answer.headers['link']))?.[1];
    }
    expect(seen).toHaveLength(7);
    expect(new Set(seen).size).toBe(7);
    expect((await send({ url: '/v1/people?limit=201', headers })).statusCode).toBe(400);
    expect((await send({ url: '/v1/people?cursor=abc', headers })).json()).toMatchObject({
      type: '/problems/cursor-invalid',
    });
  });

  it('do not take their own way in', async () => {
    const headers = bearer(await tokenOf(administrator));
    const url = `/v1/people/${administrator.id}`;
    expect((await send({ method: 'PATCH', url, headers, payload: { roles: ['analyst'] } })).statusCode).toBe(403);
    const disable = await send({ method: 'POST', url: `${url}/disablement`, headers: { ...headers, ...idempotent() } });
    expect(disable.statusCode).toBe(403);
  });

  it('change their password with the present one, which ends their other sessions', async () => {
    const [kept, other] = [await tokenOf(analyst), await tokenOf(analyst)];
    const put = (present: string, next: string): Promise<Answer> =>
      send({ method: 'PUT', url: '/v1/me/password', headers: bearer(kept), payload: { present, next } });
    expect((await put('wrong', 'seven grey geese fly')).statusCode).toBe(401);
    expect((await put(PASSWORD, 'too short')).json()).toMatchObject({ type: '/problems/password-too-weak' });
    expect((await put(PASSWORD, 'seven grey geese fly')).statusCode).toBe(204);
    expect((await me(kept)).statusCode).toBe(200);
    expect((await me(other)).statusCode).toBe(401);
    expect((await signIn(analyst.email)).statusCode).toBe(401);
    expect((await signIn(analyst.email, 'seven grey geese fly')).statusCode).toBe(201);
  });
});

describe('an API key', () => {
  async function create(payload: object, key = idempotent()): Promise<Answer> {
    const headers = { ...bearer(await tokenOf(administrator)), ...key };
    return send({ method: 'POST', url: '/v1/api-keys', headers, payload });
  }

  it('is shown once: neither the list nor the repeated request shows it again', async () => {
    const key = idempotent();
    const first = await create({ name: 'shop', scopes: ['claims:read'] }, key);
    const secret = first.json<{ secret: string }>().secret;
    expect(secret).toMatch(/^ank_/);
    const again = await create({ name: 'shop', scopes: ['claims:read'] }, key);
    expect(again.headers['idempotency-replayed']).toBe('true');
    expect(again.json()).toEqual({ ...first.json<object>(), secret: undefined });
    const list = await send({ url: '/v1/api-keys', headers: bearer(await tokenOf(administrator)) });
    expect(list.json<{ items: unknown[] }>().items).toHaveLength(1);
    expect(list.body).not.toContain(secret);
    expect(JSON.stringify(await data().rows('select * from idempotency_key'))).not.toContain(secret);
  });

  it('acts within its retailer and scopes until it is ended or runs out', async () => {
    const shop = await retailer(data(), home);
    const expiresAt = '2026-03-03T09:00:00Z';
    const made = (await create({ name: 'shop', scopes: ['claims:read'], retailer: shop, expiresAt })).json<{
      secret: string;
      id: string;
    }>();
    expect((await me(made.secret)).json()).toMatchObject({ kind: 'key', retailer: shop, scopes: ['claims:read'] });
    expect((await send({ url: '/v1/people', headers: bearer(made.secret) })).statusCode).toBe(403);
    test.clock.moveTo(Temporal.Instant.from(expiresAt));
    expect((await me(made.secret)).statusCode).toBe(401);
    test.clock.moveTo(TEST_START);
    const url = `/v1/api-keys/${made.id}`;
    await send({ method: 'DELETE', url, headers: bearer(await tokenOf(administrator)) });
    expect((await me(made.secret)).statusCode).toBe(401);
  });

  it('is refused for a retailer of somebody else and for unknown scopes', async () => {
    const foreign = await retailer(data(), await tenant(data()));
    expect((await create({ name: 'x', scopes: ['claims:read'], retailer: foreign })).statusCode).toBe(400);
    expect((await create({ name: 'x', scopes: ['everything'] })).statusCode).toBe(400);
  });
});

describe('a visit link', () => {
  async function link(visitId: string, payload: object = { crewName: 'Team 4' }): Promise<Answer> {
    const headers = { ...bearer(await tokenOf(analyst)), ...idempotent() };
    return send({ method: 'POST', url: `/v1/visits/${visitId}/links`, headers, payload });
  }

  it('is changed for a cookie, lets the crew into that visit only, and runs out after 72 hours', async () => {
    const visitId = await visit(data(), home, await retailer(data(), home));
    const made = (await link(visitId)).json<{ token: string; url: string; expiresAt: string }>();
    expect(made.url).toBe(`https://claims.example.test/visit#${made.token}`);
    expect(made.expiresAt).toBe('2026-03-05T09:00:00Z');
    const exchange = (token: string): Promise<Answer> =>
      send({ method: 'POST', url: '/v1/link-sessions', payload: { token } });
    const opened = await exchange(made.token);
    expect(opened.json()).toEqual({ visit: visitId, crewName: 'Team 4' });
    expect(opened.headers['set-cookie']).toMatch(/^as_noted_visit=.*HttpOnly; Secure; SameSite=Lax/);
    const cookie = String(opened.headers['set-cookie']).split(';')[0] ?? '';
    const who = await send({ url: '/v1/me', headers: { cookie } });
    expect(who.json()).toMatchObject({ kind: 'link', roles: ['crew'], visit: visitId });
    expect((await send({ url: '/v1/people', headers: { cookie } })).statusCode).toBe(403);
    test.clock.advance({ hours: 72 });
    expect((await send({ url: '/v1/me', headers: { cookie } })).json()).toMatchObject({
      type: '/problems/link-expired',
    });
    expect((await exchange(made.token)).json()).toMatchObject({ type: '/problems/link-expired' });
    expect((await exchange('anl_x')).json()).toMatchObject({ type: '/problems/link-unknown', status: 401 });
  });

  it('can be ended, and is not made for a visit of somebody else', async () => {
    const visitId = await visit(data(), home, await retailer(data(), home));
    const made = (await link(visitId, { crewName: 'Team 4', hours: 1 })).json<{ token: string; id: string }>();
    const headers = bearer(await tokenOf(analyst));
    expect((await send({ method: 'DELETE', url: `/v1/visits/${visitId}/links/${made.id}`, headers })).statusCode).toBe(
      204,
    );
    expect((await me(made.token)).json()).toMatchObject({ type: '/problems/link-expired' });
    const elsewhere = await tenant(data());
    const foreign = await visit(data(), elsewhere, await retailer(data(), elsewhere));
    expect((await link(foreign)).statusCode).toBe(404);
    expect((await link(visitId, { crewName: 'Team 4', hours: 721 })).statusCode).toBe(400);
  });
});

describe('a production start', () => {
  it('lets nobody of a sample tenant in, by whatever way', async () => {
    const sample = await tenant(data(), true);
    const invented = await person(data(), sample, ['analyst']);
    const token = await tokenOf(invented);
    const production = await testApp(data().url, {
      env: {
        AS_NOTED_MODE: 'production',
        AS_NOTED_PUBLIC_URL: 'https://claims.example.test',
        AS_NOTED_LOG_LEVEL: 'silent',
      },
    });
    const inject = (options: InjectOptions): Promise<Answer> => production.app.inject(options);
    const refused = await inject({
      method: 'POST',
      url: '/v1/sessions',
      payload: { email: invented.email, password: PASSWORD },
    });
    expect(refused.json()).toMatchObject({ status: 401, type: '/problems/sign-in-refused' });
    expect((await inject({ url: '/v1/me', headers: bearer(token) })).statusCode).toBe(401);
    const real = await inject({
      method: 'POST',
      url: '/v1/sessions',
      payload: { email: analyst.email, password: PASSWORD },
    });
    expect(real.statusCode).toBe(201);
    await production.app.close();
  });
});
