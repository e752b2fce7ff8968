import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { codeOf, house, stock } from '../support/resources.js';
import { PASSWORD, person } from '../support/tenants.js';
import { bearerOf, SERIAL, WebDesk } from './web-desk.js';

let desk: WebDesk;

beforeAll(async () => {
  desk = await WebDesk.open();
});
afterAll(() => desk.close());
beforeEach(() => desk.settle());

describe('who is let in', () => {
  it('nobody gets further than the sign-in page, and comes back afterwards to where they wanted to go', async () => {
    for (const place of ['/desk?view=waiting', '/desk/claims/1?x=2', '/desk/visits', '/claims']) {
      const sent = await desk.page(undefined, place);
      expect([sent.statusCode, sent.headers.location]).toEqual([303, `/sign-in?next=${encodeURIComponent(place)}`]);
    }
    const { email } = await person(desk.data(), desk.home.tenant, ['analyst']);
    const inside = await desk.form(undefined, '/sign-in', { email, password: PASSWORD, next: '/desk?view=waiting' });
    expect([inside.statusCode, inside.headers.location]).toEqual([303, '/desk?view=waiting']);
    expect(String(inside.headers['set-cookie'])).toMatch(/^as_noted_session=.*HttpOnly/);
    const away = await desk.form(undefined, '/sign-in', { email, password: PASSWORD, next: '//evil.example' });
    expect(away.headers.location).toBe('/desk');
  });

  it('a wrong password brings the page back with the address in it, and not with the password', async () => {
    const refused = await desk.form(undefined, '/sign-in', { email: 'ada@example.test', password: 'not this one' });
    expect(refused.statusCode).toBe(401);
    expect(refused.body).toContain('ada@example.test');
    expect(refused.body).not.toContain('not this one');
  });

  it.each([
    [['analyst'], '/desk'],
    [['administrator'], '/desk/people'],
    [['policy owner'], '/desk/policies'],
    [['crew'], '/crew'],
  ] as const)('%s lands at %s', async (roles, door) => {
    const { email } = await person(desk.data(), desk.home.tenant, roles);
    expect((await desk.form(undefined, '/sign-in', { email, password: PASSWORD })).headers.location).toBe(door);
  });

  it('a form from another site changes nothing', async () => {
    const claim = await desk.proposed();
    const fields = { version: String(claim.version), reason: 'goodwill', words: 'because of a stranger' };
    const address = `/desk-data/cases/${claim.id}/acts/decline`;
    const sent = await desk.form(desk.home.analyst, address, fields, { 'sec-fetch-site': 'cross-site' });
    expect(sent.statusCode).toBe(403);
    expect((await desk.read(claim.id)).state).toBe('proposed');
  });

  it('a link that is not known, or has expired, says what to do', async () => {
    const pack = (token: string) =>
      desk.test.app.inject({ url: '/crew/pack', headers: { authorization: `Bearer ${token}` } });
    const unknown = await pack('anl_nothing');
    expect([unknown.statusCode, codeOf(unknown)]).toEqual([401, 'link-unknown']);
    expect((await pack(bearerOf(desk.crew))).json()).toMatchObject({
      format: 'crew-pack/1',
      visit: { id: desk.visit },
    });
    await desk.data().rows(`update visit_link set created_at = '2026-02-27T09:00Z', expires_at = '2026-03-02T08:59Z'`);
    const late = await pack(bearerOf(desk.crew));
    expect([late.statusCode, codeOf(late)]).toEqual([401, 'link-expired']);
  });
});

describe('walls', () => {
  it('another house sees neither the case nor the visit, and is not told that they exist', async () => {
    const claim = await desk.proposed();
    const visit = desk.visit;
    const stranger = await house(desk.data());
    await stock(desk.test, stranger);
    for (const path of [`/desk-data/cases/${claim.id}`, `/v1/claims/${claim.id}`, `/v1/visits/${visit}`]) {
      expect((await desk.client.get(desk.home.analyst, path)).statusCode).toBe(200);
      const answer = await desk.client.get(stranger.analyst, path);
      const unknown = await desk.client.get(stranger.analyst, path.replace(/[^/]+$/, randomUUID()));
      expect([answer.statusCode, codeOf(answer)]).toEqual([404, 'not-found']);
      expect([unknown.statusCode, codeOf(unknown)]).toEqual([404, 'not-found']);
    }
  });

  it.each([
    ['crew', '/desk'],
    ['crew', '/claims'],
    ['retailer', '/desk'],
    ['retailer', '/desk/policies'],
  ] as const)('%s is shown out at %s with a page', async (who, path) => {
    const hands = {
      crew: desk.crew,
      retailer: desk.home.retailerPerson,
      analyst: desk.home.analyst,
    };
    const answer = await desk.page(hands[who], path);
    expect(answer.statusCode).toBe(403);
    expect(answer.headers['content-type']).toContain('text/html');
  });

  it('who sees no claims gets no queue, no case and no door to them', async () => {
    const claim = await desk.proposed();
    for (const who of [desk.home.owner, desk.home.retailerPerson, desk.crew]) {
      for (const path of ['/desk-data/queue', `/desk-data/cases/${claim.id}`, '/desk-data/views']) {
        const answer = await desk.client.get(who, path);
        expect([path, answer.statusCode, codeOf(answer)]).toEqual([path, 403, 'not-allowed']);
      }
    }
    const doorsOf = async (who: typeof desk.second) =>
      (await desk.client.get(who, '/desk-data/me')).json<{ doors: { says: string }[] }>().doors.map(({ says }) => says);
    expect(await doorsOf(desk.home.analyst)).toContain('Queue');
    expect(await doorsOf(desk.home.owner)).not.toContain('Queue');
    expect(await doorsOf(desk.home.owner)).toContain('Policies');
  });

  it('a retailer’s page holds nothing of the inside of the desk', async () => {
    const claim = await desk.proposed();
    const { body } = await desk.page(desk.home.retailerPerson, `/claims/${claim.id}`);
    const [assessed] = await desk
      .data()
      .rows<{ rules: string[] }>(`select assessment -> 'rules' rules from claim_assessment`);
    expect(assessed?.rules.length).toBeGreaterThan(0);
    for (const rule of assessed?.rules ?? []) expect(body).not.toContain(rule);
  });
});

describe('what a page is made of', () => {
  it('is the page, style sheets and scripts of our own, under a policy that lets nothing else in', async () => {
    const claim = await desk.proposed();
    for (const [who, path] of [
      [undefined, '/'],
      [undefined, '/visit'],
      [desk.home.analyst, `/desk/claims/${claim.id}`],
      [desk.crew, `/crew/visits/${desk.visit}`],
    ] as const) {
      const { headers, body } = await desk.page(who, path);
      expect(headers['content-security-policy']).toContain(`default-src 'self'`);
      // The crew's page compiles the reader of labels, which no other page does.
      const compiles = path.startsWith('/crew') || path === '/visit' ? ` 'wasm-unsafe-eval'` : '';
      expect(String(headers['content-security-policy']).replace(compiles, '')).not.toContain('unsafe');
      expect(body).not.toMatch(/ style=| on[a-z]+=|<style|<script(?![^>]*\bsrc="\/(assets|crew\/files)\/)/);
    }
  });

  it('names every file by its content, so that it can be kept for ever', async () => {
    const { body } = await desk.page(undefined, '/');
    const files = [...body.matchAll(/(?:href|src)="(\/assets\/[^"]+)"/g)].map((match) => match[1] ?? '');
    expect(files.length).toBeGreaterThanOrEqual(3);
    for (const file of files) {
      const answer = await desk.page(undefined, file);
      expect([answer.statusCode, answer.headers['cache-control']]).toEqual([
        200,
        'public, max-age=31536000, immutable',
      ]);
      const again = await desk.test.app.inject({
        url: file,
        headers: { 'if-none-match': String(answer.headers.etag) },
      });
      expect(again.statusCode).toBe(304);
    }
    expect((await desk.page(undefined, '/assets/tokens.css?v=old')).headers['cache-control']).toBe('no-cache');
    expect((await desk.page(undefined, '/assets/..%2Fmain.ts')).statusCode).toBe(404);
  });

  it('writes what people typed as text and never as markup', async () => {
    const claim = await desk.proposed();
    const asked = '<img src=x onerror=alert(1)>';
    await desk.acts(claim.id, [desk.home.analyst, 'questions', { asked, of: 'retailer' }]);
    const { body } = await desk.page(desk.home.retailerPerson, `/claims/${claim.id}`);
    expect(body).toContain('&lt;img src=x onerror=alert(1)>');
    expect(body).not.toContain('<img src=x');
  });
});

describe('sending a form twice', () => {
  it('opens one return', async () => {
    const fields = { id: randomUUID(), visit: desk.visit, serial: SERIAL, why: 'wrong item', words: '' };
    const first = await desk.form(desk.home.retailerPerson, '/claims', fields);
    const second = await desk.form(desk.home.retailerPerson, '/claims', fields);
    expect([first.statusCode, first.headers.location]).toEqual([303, `/claims/${fields.id}`]);
    expect(second.headers.location).toBe(first.headers.location);
  });

  it('decides once: the second one was made on an older version', async () => {
    const claim = await desk.proposed();
    const fields = { version: String(claim.version), reason: 'goodwill', words: 'a second look at the carton' };
    const address = `/desk-data/cases/${claim.id}/acts/decline`;
    const [first, second] = await Promise.all([
      desk.client.post(desk.home.analyst, address, fields),
      desk.client.post(desk.second, address, fields),
    ]);
    expect([first.statusCode, second.statusCode].toSorted((a, b) => a - b)).toEqual([204, 412]);
    expect(await desk.data().rows('select n from claim_decision where claim_id = $1', [claim.id])).toEqual([{ n: 1 }]);
  });
});
