import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { company, hand, type Hand } from '../support/resources.js';
import { bearerOf, phonePhoto, WebDesk } from './web-desk.js';

let desk: WebDesk;
let shop: Hand;

beforeAll(async () => {
  desk = await WebDesk.open();
});
afterAll(() => desk.close());
beforeEach(async () => {
  await desk.settle();
  shop = desk.home.retailerPerson;
});

/** Somebody of another retailer of the same house, with a delivery and a filed return of their own. */
async function rival(): Promise<{ readonly who: Hand; readonly visit: string }> {
  const id = await company(desk.data(), desk.home.tenant, 'retailer', 'rival');
  const visit = await desk.delivered(undefined, { retailer: 'rival' });
  await desk.filed({ visitId: visit }, desk.home.analyst);
  return { who: await hand(desk.data(), desk.home.tenant, ['retailer'], id), visit };
}

describe('the board', () => {
  it('shows what needs an answer of the retailer, and not what others were asked', async () => {
    const claim = await desk.proposed();
    const yours = async () => (await desk.page(shop, '/claims?view=yours')).body;
    expect(await yours()).toContain('Nobody waits for you');
    await desk.acts(claim.id, [desk.home.analyst, 'questions', { asked: 'Was the foil opened?', of: 'crew' }]);
    expect(await yours()).toContain('Nobody waits for you');
    await desk.acts(claim.id, [desk.second, 'information', { words: 'The crew does not know.' }]);
    await desk.assess();
    await desk.acts(claim.id, [desk.home.analyst, 'questions', { asked: 'Was the foil opened?', of: 'retailer' }]);
    expect(await yours()).toContain(`href="/claims/${claim.id}#answer"`);
    expect((await desk.page(shop, '/claims?view=closed')).body).not.toContain(claim.id);
  });
});

describe('a file that a retailer adds', () => {
  const JPEG = { type: 'image/jpeg' };

  async function send(who: Hand, claim: string, item: string, files: readonly Blob[]): Promise<Response> {
    const body = new FormData();
    body.append('item', item);
    for (const [n, each] of files.entries()) body.append('file', each, `scan-${n}.jpg`);
    return fetch(`${desk.address}/claims/${claim}/files`, {
      method: 'POST',
      body,
      redirect: 'manual',
      headers: { cookie: `as_noted_session=${bearerOf(who)}`, 'sec-fetch-site': 'same-origin', accept: 'text/html' },
    });
  }

  const photo = async (seed: number): Promise<Blob> => new Blob([new Uint8Array(await phonePhoto(seed))], JPEG);
  const photos = async (): Promise<number> => (await desk.data().rows('select id from exhibit')).length;

  it('is kept once, gets a receipt, and has the proposal made again', async () => {
    const claim = await desk.shortageClaim();
    const before = await photos();
    const scan = await photo(2);
    const sent = await send(shop, claim, 'receipt-kind', [await photo(1), scan]);
    expect([sent.status, await photos()]).toEqual([303, before + 2]);
    const receipt = (await desk.page(shop, sent.headers.get('location') ?? '')).body;
    const rows = await desk
      .data()
      .rows<{ sha256: string; item: string }>(`select sha256, item from exhibit where received_by ->> 'id' = $1`, [
        shop.id,
      ]);
    expect(rows.map(({ sha256, item }) => [receipt.includes(sha256), item])).toEqual([
      [true, 'receipt-kind'],
      [true, 'receipt-kind'],
    ]);
    expect(receipt).toContain('New evidence was added.');
    const again = await send(shop, claim, 'receipt-kind', [scan]);
    expect([again.status, await photos()]).toEqual([303, before + 2]);
    expect((await desk.kinds(claim)).filter((kind) => kind === 'evidence-added')).toHaveLength(1);
  });

  it('says what is wrong, keeps the choice, and keeps what came before it', async () => {
    const claim = await desk.shortageClaim();
    const before = await photos();
    const pdf = new Blob(['%PDF-1.7 a delivery note'], JPEG);
    const refused = await send(shop, claim, 'receipt-kind', [await photo(3), pdf]);
    const page = await refused.text();
    expect([refused.status, await photos()]).toEqual([415, before + 1]);
    expect(page).toContain('The files before this one are in: 1.');
    expect(page).toMatch(/<option value="receipt-kind" selected/);
    const none = await send(shop, claim, '', [await photo(4)]);
    expect([none.status, await none.text()]).toEqual([400, expect.stringContaining('Choose which question')]);
    expect((await send(shop, claim, 'no-such-item', [await photo(4)])).status).toBe(400);
    expect((await send(shop, claim, 'receipt-kind', [])).status).toBe(400);
    expect(await photos()).toBe(before + 1);
  });

  it('goes to no claim of another retailer, to none without an inspection, and not past the claim', async () => {
    const inspection = await desk.inspected();
    const url = `/v1/inspections/${inspection}/photos`;
    const form = {
      method: 'POST',
      url,
      payload: 'x',
      headers: { ...shop.headers, 'content-type': 'image/jpeg' },
    } as const;
    expect((await desk.test.app.inject(form)).statusCode).toBe(403);
    const bare = await desk.filed();
    expect((await desk.page(shop, `/claims/${bare.id}`)).body).toContain('rests on no inspection');
    expect((await send(shop, bare.id, 'receipt-kind', [await photo(5)])).status).toBe(404);
    const { who } = await rival();
    expect((await send(who, bare.id, 'receipt-kind', [await photo(5)])).status).toBe(404);
    expect((await send(desk.crew, bare.id, 'receipt-kind', [await photo(5)])).status).toBe(403);
  });
});

describe('letters', () => {
  it('are written of what is or was in force, in words that hold nothing of the inside', async () => {
    const claim = await desk.proposed();
    const letter = (n: number) => desk.page(shop, `/claims/${claim.id}/letters/${n}`);
    expect((await letter(1)).statusCode).toBe(404);
    await desk.acts(claim.id, [
      desk.home.analyst,
      'decisions',
      { outcome: 'declined', reason: 'goodwill', words: 'The inside words of the desk.' },
    ]);
    const first = (await letter(1)).body;
    for (const said of ['The claim is declined.', 'Nothing is given', 'Company pellow']) expect(first).toContain(said);
    expect(first).not.toContain('inside words');
    await desk.acts(claim.id, [shop, 'appeals', { words: 'The carton was found.' }]);
    await desk.assess();
    await desk.acts(claim.id, [desk.home.analyst, 'decisions', { outcome: 'approved' }]);
    expect((await letter(1)).body).toContain('A later decision has taken the place');
    expect((await letter(2)).body).toContain('The claim is approved.');
    const { body } = await desk.page(shop, `/claims/${claim.id}`);
    expect(body.match(/letters\/\d"/g)).toEqual(['letters/2"', 'letters/2"', 'letters/1"']);
    expect((await desk.page((await rival()).who, `/claims/${claim.id}/letters/2`)).statusCode).toBe(404);
  });
});

describe('the page of a claim', () => {
  it('weighs at most 60 kB with its style sheets, photos apart, and has no script', async () => {
    const claim = await desk.shortageClaim();
    await desk.acts(claim, [desk.home.analyst, 'questions', { asked: 'Was the foil opened?', of: 'retailer' }]);
    const { body } = await desk.page(shop, `/claims/${claim}`);
    expect(body).not.toContain('<script');
    const files = [...body.matchAll(/<link[^>]* href="([^"]+)"/g)].map((match) => match[1] ?? '');
    expect(files.length).toBeGreaterThanOrEqual(5);
    const sizes = await Promise.all(files.map(async (each) => (await desk.page(undefined, each)).rawPayload.length));
    const all = [Buffer.byteLength(body), ...sizes].reduce((sum, size) => sum + size, 0);
    expect(all).toBeLessThanOrEqual(60 * 1024);
  });

  it('says after the session has ended how nothing that was typed is lost', async () => {
    const claim = await desk.proposed();
    await desk.data().rows(`update session set ended_at = now()`);
    const sent = await desk.form(shop, `/claims/${claim.id}/appeal`, { version: '1', words: 'A long text.' });
    expect([sent.statusCode, sent.body]).toEqual([401, expect.stringContaining('Sign in in another tab')]);
  });
});
