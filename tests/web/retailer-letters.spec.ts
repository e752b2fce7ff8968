import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { Database } from '../../src/platform/db/database.js';
import { company, hand, type Hand } from '../support/resources.js';
import { TEST_START } from '../support/test-app.js';
import { WebDesk } from './web-desk.js';

const TO_RETAILER = {
  en: 'Keep <b>the</b> old unit.\n\nThe driver takes it.',
  es: 'Guarde la unidad anterior.',
} as const;
const folder = mkdtempSync(join(tmpdir(), 'as-noted-letter-'));
let desk: WebDesk;
let shop: Hand;

beforeAll(async () => {
  desk = await WebDesk.open();
});
afterAll(async () => {
  await desk.close();
  rmSync(folder, { recursive: true, force: true });
});
beforeEach(async () => {
  desk.test.clock.moveTo(TEST_START);
  await desk.settle();
  shop = desk.home.retailerPerson;
});

async function decided(more: object = { toRetailer: TO_RETAILER }): Promise<string> {
  const { id } = await desk.proposed({ visitId: await desk.delivered() }, shop);
  await desk.acts(id, [desk.home.analyst, 'decisions', { outcome: 'approved', ...more }]);
  return id;
}
const rival = async () =>
  hand(desk.data(), desk.home.tenant, ['retailer'], await company(desk.data(), desk.home.tenant, 'retailer', 'rival'));
const pdf = async (who: Hand, claim: string, lang: string) =>
  desk.page(who, `/claims/${claim}/letters/1/pdf?lang=${lang}`);

/** Text of a page as it is read, without its markup. */
function readOf(html: string): string {
  const article = /<article[^>]*>(.*)<\/article>/s.exec(html)?.[1] ?? '';
  const text = article
    .replaceAll(/<[^>]+>/g, '\n')
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>');
  return text.replaceAll('&amp;', '&');
}
const flat = (text: string) => text.replaceAll(/[\s\u00a0]+/g, ' ').trim();

describe('the desk’s words', () => {
  it('stand on the page of the claim in both languages, as text and never as markup', async () => {
    const { body } = await desk.page(shop, `/claims/${await decided()}`);
    expect(body).toContain('<p class="lines" lang="en">Keep &lt;b>the&lt;/b> old unit.\n\nThe driver takes it.</p>');
    expect(body).toContain('<p class="lines" lang="es">Guarde la unidad anterior.</p>');
    const none = await desk.page(shop, `/claims/${await decided({})}`);
    expect(none.body).not.toContain('What the desk adds');
  });

  it('say nothing before a second person has confirmed them', async () => {
    const visitId = await desk.delivered(129_900);
    const { id } = await desk.proposed({ visitId }, shop);
    await desk.acts(id, [desk.home.analyst, 'decisions', { outcome: 'approved', toRetailer: TO_RETAILER }]);
    const before = (await desk.page(shop, `/claims/${id}`)).body;
    expect([before.includes('old unit'), before.includes('Nothing is decided yet.')]).toEqual([false, true]);
    expect((await pdf(shop, id, 'en')).statusCode).toBe(404);
    await desk.acts(id, [desk.second, 'decisions/1/confirmation', undefined]);
    expect((await desk.page(shop, `/claims/${id}`)).body).toContain('old unit');
  });
});

describe('a letter as a PDF', () => {
  it('is tagged, says its language and title, embeds its font, and is the same bytes again', async () => {
    const claim = await decided();
    const sent = await pdf(shop, claim, 'es');
    expect(sent.headers['content-type']).toBe('application/pdf');
    expect(sent.headers['content-disposition']).toMatch(/^inline; filename="decision-\d{9}-1-es\.pdf"$/);
    const text = sent.rawPayload.toString('latin1');
    for (const mark of ['/MarkInfo', '/Lang (es)', '/DisplayDocTitle true', '/StructTreeRoot', '/FontFile2'])
      expect(text).toContain(mark);
    await desk.acts(claim, [desk.home.analyst, 'settlement-order', {}]);
    expect((await pdf(shop, claim, 'es')).rawPayload.equals(sent.rawPayload)).toBe(true);
    expect((await pdf(shop, claim, 'en')).rawPayload.equals(sent.rawPayload)).toBe(false);
  });

  const poppler = spawnSync('pdftotext', ['-v']).error === undefined;
  // Skipped where Debian's poppler-utils are not installed: nothing else here reads a PDF back.
  it.skipIf(!poppler)('says what the page says, word for word, as poppler reads it', async () => {
    await desk.form(shop, '/claims/company/letters', { lines: '12 Quay Street\nTruro' });
    const claim = await decided();
    for (const lang of ['en', 'es']) {
      const file = join(folder, `${lang}.pdf`);
      writeFileSync(file, (await pdf(shop, claim, lang)).rawPayload);
      const { stdout } = spawnSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' });
      const page = readOf((await desk.page(shop, `/claims/${claim}/letters/1?lang=${lang}`)).body);
      const lines = page
        .split('\n')
        .map(flat)
        .filter((line) => line !== '');
      expect(lines.length).toBeGreaterThan(18);
      expect(lines.filter((line) => !flat(stdout).includes(line))).toEqual([]);
      expect(lines).toContain('12 Quay Street');
      const info = spawnSync('pdfinfo', [file], { encoding: 'utf8' }).stdout;
      expect(info).toMatch(/Tagged:\s+yes/);
    }
  });

  it('goes to nobody else, and there is none of a number or a language that is not there', async () => {
    const claim = await decided();
    expect((await pdf(await rival(), claim, 'en')).statusCode).toBe(404);
    expect((await desk.page(shop, `/claims/${claim}/letters/2/pdf`)).statusCode).toBe(404);
    expect((await desk.page(shop, `/claims/${claim}/letters/1/pdf?lang=xx`)).headers['content-disposition']).toContain(
      '-en.pdf',
    );
    expect((await desk.page(desk.home.analyst, `/claims/${claim}/letters/1/pdf`)).statusCode).toBe(403);
  });
});

describe('people and address', () => {
  const page = async (who: Hand) => (await desk.page(who, '/claims/company')).body;
  const keep = (who: Hand, kind: string, lines: string) => desk.form(who, `/claims/company/${kind}`, { lines });

  it('show the people of the company and whom to ask, and nobody of another one', async () => {
    const other = await rival();
    await desk.data().rows(`update person set name = 'Rita Rival' where id = $1`, [other.id]);
    await desk.data().rows(`update person set name = 'Sol Keeper' where id = $1`, [desk.home.administrator.id]);
    const own = await page(shop);
    expect([own.includes('(you)'), own.includes('ask Sol Keeper'), own.includes('Rita Rival')]).toEqual([
      true,
      true,
      false,
    ]);
    expect(await page(other)).toContain('Rita Rival (you)');
    for (const who of [desk.home.analyst, desk.home.administrator]) {
      expect((await desk.page(who, '/claims/company')).statusCode).toBe(403);
      expect((await keep(who, 'letters', 'Somewhere')).statusCode).toBe(403);
    }
  });

  it('keep each address with who changed it, tell the house, and head the letters of later decisions', async () => {
    const first = await decided();
    desk.test.clock.moveTo(TEST_START.add({ minutes: 1 }));
    expect((await keep(shop, 'letters', ' 12 Quay Street \r\n\r\n Truro ')).headers['location']).toBe(
      '/claims/company?changed=letters#letters',
    );
    desk.test.clock.moveTo(TEST_START.add({ minutes: 2 }));
    await keep(shop, 'letters', '1 Hill Road');
    await keep(shop, 'letters', '1 Hill Road');
    const rows = await desk
      .data()
      .rows('select lines from retailer_address where tenant_id = $1 order by changed_at', [desk.home.tenant]);
    expect(rows).toEqual([{ lines: '12 Quay Street\nTruro' }, { lines: '1 Hill Road' }]);
    expect(await page(await rival())).toContain('No address is on record.');
    const second = await decided();
    const letter = async (claim: string) => readOf((await desk.page(shop, `/claims/${claim}/letters/1`)).body);
    expect(await letter(second)).toContain('1 Hill Road');
    expect(await letter(first)).not.toMatch(/Hill|Quay/);
    const listed = await desk.client.get(desk.home.analyst, '/v1/retailers');
    const { items } = listed.json<{ items: { goodsAddress?: string; lettersAddress?: string }[] }>();
    expect(items.map(({ goodsAddress, lettersAddress }) => [goodsAddress, lettersAddress])).toContainEqual([
      undefined,
      '1 Hill Road',
    ]);
  });

  it('refuse an address that is none, and keep what was typed', async () => {
    for (const [lines, says] of [
      [' ', 'The address is empty.'],
      ['x\n'.repeat(9), 'The address has 9 lines'],
      ['y'.repeat(501), 'The address has 501 characters'],
    ] as const) {
      const refused = await keep(shop, 'goods', lines);
      expect([refused.statusCode, refused.body]).toEqual([400, expect.stringContaining(says)]);
      expect(refused.body).toContain(`>${lines.trim().slice(0, 20)}`);
    }
    expect((await keep(shop, 'gifts', 'Here')).statusCode).toBe(404);
  });

  it('of another retailer is out of reach in the database as well', async () => {
    await keep(shop, 'goods', 'Dock 4');
    const other = await rival();
    const { tenant } = desk.home;
    const [row] = await desk
      .data()
      .rows<{ id: string }>('select retailer_id as id from person where id = $1', [other.id]);
    const seen = desk.test.app
      .get(Database)
      .inTenant({ tenant, retailer: row?.id ?? '' }, (tx) => tx.query<object[]>('select lines from retailer_address'));
    expect(await seen).toEqual([]);
  });
});
