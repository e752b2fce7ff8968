import { parse } from 'csv-parse/sync';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { ClaimsService } from '../../src/claims/claims.service.js';
import { showClaimNumber } from '../../src/kernel/claim-number.js';
import { RetailerExportsService } from '../../src/web/retailer-exports.service.js';
import { company, hand, type Hand } from '../support/resources.js';
import { TEST_START } from '../support/test-app.js';
import { bearerOf, WebDesk } from './web-desk.js';

let desk: WebDesk;
let shop: Hand;

beforeAll(async () => {
  desk = await WebDesk.open();
});
afterAll(() => desk.close());
beforeEach(async () => {
  desk.test.clock.moveTo(TEST_START);
  // The job looks across houses, so those of other tests must have nothing left to make.
  await desk.data().rows('delete from claim_export');
  await desk.data().rows('delete from export_schedule');
  await desk.settle();
  shop = desk.home.retailerPerson;
});
afterEach(() => vi.restoreAllMocks());

/** Somebody of another retailer of the same house, with a delivery and a filed return of their own. */
async function rival(): Promise<{ readonly who: Hand; readonly number: string }> {
  const id = await company(desk.data(), desk.home.tenant, 'retailer', 'rival');
  const visit = await desk.delivered(undefined, { retailer: 'rival' });
  const { number } = await desk.filed({ visitId: visit }, desk.home.analyst);
  return { who: await hand(desk.data(), desk.home.tenant, ['retailer'], id), number: showClaimNumber(number ?? '') };
}

/** Copies of a claim as if each had been withdrawn, opened a minute after the other. */
async function copies(claim: string, n: number): Promise<void> {
  await desk.data().rows(
    `insert into claim select (jsonb_populate_record(null::claim, to_jsonb(c) || jsonb_build_object(
       'id', gen_random_uuid(), 'number', lpad(i::text, 9, '0'), 'state', 'withdrawn', 'assessment_id', null,
       'created_at', c.created_at + i * interval '1 minute', 'updated_at', c.updated_at + i * interval '1 minute'))).*
     from claim c, generate_series(1, $2::integer) i where c.id = $1`,
    [claim, n],
  );
}

const file = (who: Hand, query = '') => desk.page(who, `/claims/export/file?format=csv${query}`);
const rowsOf = (text: string): Record<string, string>[] => parse(text, { columns: true });
const numbersOf = (text: string) => rowsOf(text).map((row) => row['claim']);

describe('claims as a file', () => {
  it('hold every claim once over several pages, in both kinds, and none of another retailer', async () => {
    const claim = await desk.filed();
    await copies(claim.id, 430);
    const other = await rival();
    const rows = rowsOf((await file(shop)).body);
    const json = (await desk.page(shop, '/claims/export/file?format=json')).json<Record<string, string>[]>();
    expect(json).toEqual(rows);
    expect(new Set(rows.map((row) => row['claim'])).size).toBe(431);
    expect(rows.map((row) => row['claim'])).not.toContain(other.number);
    expect(numbersOf((await file(other.who)).body)).toEqual([other.number]);
    // What is chosen on the board is what goes into the file.
    expect(rowsOf((await file(shop, '&view=open')).body)).toHaveLength(1);
    expect(rowsOf((await file(shop, '&ground=damage')).body)).toHaveLength(0);
    expect(numbersOf((await file(shop, '&view=closed&find=000000007')).body)).toEqual([showClaimNumber('000000007')]);
  });

  it('hold the columns and the days that were chosen, and the form says what is wrong with them', async () => {
    const claim = await desk.filed();
    await desk.data().rows(`update claim set created_at = '2026-02-28T23:59:59Z' where id = $1`, [claim.id]);
    const on = async (query: string) => (await file(shop, `&columns=claim&columns=opened${query}`)).body;
    const line = `claim,opened\r\n${showClaimNumber(claim.number ?? '')},2026-02-28T23:59:59.000Z\r\n`;
    expect(await on('&from=2026-02-28&to=2026-02-28')).toBe(line);
    expect(await on('&from=2026-03-01')).toBe('claim,opened\r\n');
    expect(await on('&to=2026-02-27')).toBe('claim,opened\r\n');
    for (const [query, says] of [
      ['&from=2026-03-02&to=2026-03-01', 'The last day lies before the first one.'],
      ['&from=tomorrow', 'This is not a date.'],
      ['&picked=yes', 'Tick at least one column.'],
      ['&columns=secrets', 'Tick at least one column.'],
    ] as const) {
      const refused = await file(shop, query);
      expect([refused.statusCode, refused.headers['content-disposition']], query).toEqual([400, undefined]);
      expect(refused.body).toContain(says);
    }
  });

  it('are written down with who took them, and can be chosen again', async () => {
    await desk.filed();
    const other = await rival();
    await file(shop, '&view=open&columns=claim&columns=next+by&find=%3Cb%3E');
    const { body } = await desk.page(shop, '/claims/export');
    expect(body).toContain('taken by');
    expect(body).toContain('claims under “Open”, with “&lt;b>”, 2 columns, CSV');
    const again = /href="(\/claims\/export\?[^"#]+)#wish"/.exec(body)?.[1]?.replaceAll('&amp;', '&') ?? '';
    const form = (await desk.page(shop, again)).body;
    expect(form.match(/name="columns" value="[a-z ]+" checked/g)).toEqual([
      'name="columns" value="claim" checked',
      'name="columns" value="next by" checked',
    ]);
    expect((await desk.page(other.who, '/claims/export')).body).not.toContain('taken by');
  });

  it('miss nothing when a claim changes while they are written', async () => {
    const claim = await desk.filed();
    await copies(claim.id, 250);
    const claims = desk.test.app.get(ClaimsService);
    const list = claims.list.bind(claims);
    vi.spyOn(claims, 'list').mockImplementation(async (...args) => {
      const page = await list(...args);
      await desk
        .data()
        .rows(`update claim set updated_at = '2026-04-01T00:00Z' where number in ('000000001', '000000250')`);
      return page;
    });
    const numbers = numbersOf((await file(shop)).body);
    expect([numbers.length, new Set(numbers).size]).toEqual([251, 251]);
  });

  it('break off where a later page cannot be read, and are a page that says so where the first cannot', async () => {
    const claim = await desk.filed();
    await copies(claim.id, 250);
    const claims = desk.test.app.get(ClaimsService);
    const list = claims.list.bind(claims);
    vi.spyOn(claims, 'list').mockImplementation((actor, filter, query) =>
      query.cursor === undefined ? list(actor, filter, query) : Promise.reject(new Error('the database went away')),
    );
    const headers = { cookie: `as_noted_session=${bearerOf(shop)}`, accept: 'text/html' };
    const get = () => fetch(`${desk.address}/claims/export/file?format=json`, { headers });
    const begun = await get();
    expect(begun.status).toBe(200);
    await expect(begun.text()).rejects.toThrow('terminated');
    vi.spyOn(claims, 'list').mockRejectedValue(new Error('the database went away'));
    const failed = await get();
    expect([failed.status, failed.headers.get('content-disposition')]).toEqual([500, null]);
    expect(await failed.text()).toContain('Something broke on our side');
  });
});

describe('a file that is made by itself', () => {
  const exports = () => desk.test.app.get(RetailerExportsService);
  const schedule = (who: Hand, fields: Readonly<Record<string, string>>) =>
    desk.form(who, '/claims/export/schedules', { format: 'csv', picked: 'yes', columns: 'claim', ...fields });
  const madeAt = async (at: string) => {
    desk.test.clock.moveTo(Temporal.Instant.from(at));
    return exports().makeDue();
  };
  /** Sessions of tests are days old when the clock moves; those that read are given time. */
  const stayIn = () =>
    desk
      .data()
      .rows(`update session set expires_at = '2027-01-01Z', last_seen_at = $1`, [desk.test.clock.now().toString()]);
  const filesOf = async (who: Hand) => {
    await stayIn();
    const { body } = await desk.page(who, '/claims/export');
    return [...body.matchAll(/href="(\/claims\/export\/past\/[0-9a-f-]+)"/g)].map((match) => match[1] ?? '');
  };

  it('is there every Monday, once, holds its own week, and belongs to the company alone', async () => {
    const claim = await desk.filed();
    const other = await rival();
    expect((await schedule(shop, { every: 'week', newOnly: 'yes' })).statusCode).toBe(303);
    expect((await desk.page(shop, '/claims/export')).body).toContain('9 Mar 2026, 09:00 UTC');
    expect(await madeAt('2026-03-09T08:59:00Z')).toBe(0);
    expect(await madeAt('2026-03-09T09:00:00Z')).toBe(1);
    const both = await Promise.all([exports().makeDue(), exports().makeDue()]);
    expect(both).toEqual([0, 0]);
    expect(await madeAt('2026-03-16T09:30:00Z')).toBe(1);
    const [second, first] = await filesOf(shop);
    const read = async (who: Hand, address: string | undefined) => desk.page(who, address ?? '');
    expect((await read(shop, first)).body).toBe(`claim\r\n${showClaimNumber(claim.number ?? '')}\r\n`);
    expect((await read(shop, second)).body).toBe('claim\r\n');
    expect((await read(other.who, first)).statusCode).toBe(404);
    expect(await filesOf(other.who)).toEqual([]);
  });

  it('that two look for at once is made by one of them', async () => {
    await desk.filed();
    await schedule(shop, { every: 'month' });
    desk.test.clock.moveTo(Temporal.Instant.from('2026-04-01T09:00:00Z'));
    const made = await Promise.all(Array.from({ length: 4 }, () => exports().makeDue()));
    expect(made.reduce((sum, n) => sum + n, 0)).toBe(1);
    expect(await desk.data().rows('select claims from claim_export')).toEqual([{ claims: 1 }]);
  });

  it('is made no more once it is ended, which another retailer cannot do; the files stay', async () => {
    await desk.filed();
    const other = await rival();
    await schedule(shop, { every: 'week' });
    const end = /action="(\/claims\/export\/schedules\/[0-9a-f-]+\/end)"/.exec(
      (await desk.page(shop, '/claims/export')).body,
    )?.[1];
    expect((await desk.form(other.who, end ?? '', {})).statusCode).toBe(404);
    expect(await madeAt('2026-03-09T09:00:00Z')).toBe(1);
    await stayIn();
    expect((await desk.form(shop, end ?? '', {})).statusCode).toBe(303);
    expect(await madeAt('2026-03-16T09:00:00Z')).toBe(0);
    expect(await filesOf(shop)).toHaveLength(1);
  });

  it('that fails goes back whole and is made the next time', async () => {
    await desk.filed();
    await schedule(shop, { every: 'week' });
    const claims = desk.test.app.get(ClaimsService);
    vi.spyOn(claims, 'list').mockRejectedValueOnce(new Error('the database went away'));
    expect(await madeAt('2026-03-09T09:00:00Z')).toBe(0);
    expect(await desk.data().rows('select 1 from claim_export')).toEqual([]);
    expect(await madeAt('2026-03-09T09:01:00Z')).toBe(1);
  });

  it('is refused without saying how often, and beyond ten of them', async () => {
    expect((await schedule(shop, {})).body).toContain('How often is missing. Choose one.');
    for (let n = 0; n < 10; n += 1) expect((await schedule(shop, { every: 'week' })).statusCode).toBe(303);
    const eleventh = await schedule(shop, { every: 'month', find: 'KR-1' });
    expect([eleventh.statusCode, eleventh.body]).toEqual([400, expect.stringContaining('End one of them first')]);
    expect(eleventh.body).toContain('value="KR-1"');
  });
});
