import { createHash } from 'node:crypto';
import type { Page } from 'playwright-core';
import sharp from 'sharp';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { Jobs } from '../../src/platform/jobs/jobs.js';
import { sidewaysPhoto } from '../support/crew-photo.js';
import { browserForFile, noBrowser } from './browser.js';
import { CrewPhone, PHONE } from './crew-phone.js';
import { BAD_LINE, FaultyLine, NO_FAULTS } from './faulty-line.js';
import { KilledBrowser } from './killed-browser.js';
import { bearerOf, WebDesk } from './web-desk.js';

let desk: WebDesk;
let line: FaultyLine;

beforeAll(async () => {
  desk = await WebDesk.open();
});
afterAll(() => desk.close());
beforeEach(async () => {
  await desk.data().empty();
  await desk.settleNow();
  line = new FaultyLine(desk.address, 7);
  await line.up();
  return () => line.down();
});

const link = (): string => `${line.address}/visit#${bearerOf(desk.crew)}`;
const jpeg = (buffer: Buffer) => ({ name: 'photo.jpg', mimeType: 'image/jpeg', buffer });

/** A photo as a phone's camera takes one, larger than what is kept of it, with something in it. */
function cameraPhoto(seed: number): Promise<Buffer> {
  const noise = { type: 'gaussian', mean: 128, sigma: 20 } as const;
  return sharp({
    create: { width: 1000, height: 750, channels: 3, background: { r: 90 + seed, g: 120, b: 100 }, noise },
  })
    .resize(2400, 1800)
    .jpeg({ quality: 80 })
    .toBuffer();
}

/** Rows of one of the phone's stores. */
function held<T>(page: Page, store: string): Promise<T[]> {
  return page.evaluate<T[]>(`new Promise((done) => {
    const open = indexedDB.open('as-noted-crew');
    open.onsuccess = () => {
      const ask = open.result.transaction('${store}').objectStore('${store}').getAll();
      ask.onsuccess = () => { open.result.close(); done(ask.result); };
    };
  })`);
}

/** Tests do not wait as long between tries as crews do. */
function hurry(page: Page): Promise<unknown> {
  return page.evaluate(`new Promise((done) => {
    const open = indexedDB.open('as-noted-crew');
    open.onsuccess = () => {
      const tx = open.result.transaction('settings', 'readwrite');
      tx.objectStore('settings').put(600, 'longestPauseMs');
      tx.oncomplete = () => { open.result.close(); done(); };
    };
  })`);
}

/** What the service has of the visit. */
async function service() {
  const facts = await desk.data().rows<{ n: number; state: string }>('select n, state from phone_fact order by n');
  const photos = await desk.data().rows<{ sha256: string }>('select sha256 from exhibit order by sha256');
  const claims = await desk.data().rows<{ number: string }>('select number from claim');
  return { facts, photos: photos.map(({ sha256 }) => sha256), claims };
}

describe.skipIf(noBrowser !== undefined)('a visit without a signal', () => {
  const browser = new KilledBrowser();
  afterAll(() => browser.close());

  it('loses and doubles nothing, though the browser is killed twice and the line is as bad as lines are', async () => {
    let phone = new CrewPhone(link(), await browser.start());
    await phone.open();
    await phone.keptForOffline();
    await hurry(phone.page);
    await phone.begin();
    await line.down();
    // Everything from here on happens with the service gone.
    await phone.number('1');
    await phone.seeToStop();
    await phone.tap('Delivered today, not used yet');
    await phone.at('carton-faces');
    for (const [n, shows] of ['wide', 'opposite', 'label'].entries())
      await phone.photo(shows, jpeg(await cameraPhoto(n)));
    const photos = await held<{ id: string; sha256: string; size: number }>(phone.page, 'photos');
    expect(photos).toHaveLength(3);
    expect(await phone.chip()).toMatch(/(On this phone|Sending): \d+/);
    const before = await held<{ id: string }>(phone.page, 'facts');
    await browser.kill();

    phone = new CrewPhone(link(), await browser.start());
    await phone.open();
    expect(await held<{ id: string }>(phone.page, 'facts')).toEqual(before);
    const again = await held<{ id: string; sha256: string }>(phone.page, 'photos');
    expect(again.map(({ sha256 }) => sha256)).toEqual(photos.map(({ sha256 }) => sha256));
    await phone.page.getByRole('link', { name: 'Go on with the inspection' }).click();
    // The killed page comes back to the check it was at.
    await phone.at('carton-faces');
    expect(await phone.page.locator('[data-photo]').count()).toBe(3);
    await phone.tap('Photos are taken, go on');
    await phone.at('carton-marks');
    await phone.page.getByRole('link', { name: 'Check and send' }).click();
    await phone.page.getByLabel('Damage that was seen before opening').check();
    await phone.page.locator('#reason').fill('Refused at the door.');
    await phone.tap('Send the claim');
    await phone.page.getByRole('heading', { name: 'The claim is on this phone' }).waitFor();

    line.faults = BAD_LINE;
    await line.up();
    await expect.poll(async () => (await service()).facts.length, { timeout: 30_000, interval: 50 }).toBeGreaterThan(0);
    await browser.kill();
    phone = new CrewPhone(link(), await browser.start());
    await phone.open();
    await phone.allSent(60_000);
    line.faults = NO_FAULTS;

    const { facts, photos: kept, claims } = await service();
    expect(claims).toHaveLength(1);
    expect(kept).toEqual(photos.map(({ sha256 }) => sha256).toSorted());
    expect(facts.map(({ n }) => n)).toEqual(facts.map((_fact, index) => index + 1));
    expect(new Set(facts.map(({ state }) => state))).toEqual(new Set(['taken']));
    expect(Object.values(line.happened).reduce((sum, n) => sum + n, 0)).toBeGreaterThan(3);
    const { phones } = (await desk.client.get(desk.home.analyst, `/v1/visits/${desk.visit}/phones`)).json<{
      phones: { factsOwed: number; photosOwed: number }[];
    }>();
    expect(phones.map(({ factsOwed, photosOwed }) => [factsOwed, photosOwed])).toEqual([[0, 0]]);
    // What is confirmed is not kept twice: the bytes have left the phone, the small pictures stay.
    expect(await held(phone.page, 'bytes')).toEqual([]);
    await phone.page.goto(`${line.address}/crew`);
    await phone.page.getByText('All sent').first().waitFor();
  }, 120_000);

  it('keeps what the camera wrote about a photo, upright and small', async () => {
    const phone = new CrewPhone(link(), await browser.start());
    await phone.open();
    await phone.begin();
    await phone.number('2');
    await phone.tap('Delivered today, not used yet');
    await phone.at('carton-faces');
    await phone.photo('wide', jpeg(await sidewaysPhoto()));
    // Not a picture that this browser can open: kept whole, byte for byte.
    const heic = Buffer.concat([Buffer.from('0000001c66747970686569630000000068656963', 'hex'), Buffer.alloc(500, 7)]);
    await phone.photo('opposite', { name: 'a.heic', mimeType: 'image/heic', buffer: heic });
    const [shrunk, whole] = await held<{ sha256: string; type: string; size: number }>(phone.page, 'photos').then(
      (all) => all.toSorted((a, b) => b.size - a.size),
    );
    expect(whole).toMatchObject({
      sha256: createHash('sha256').update(heic).digest('hex'),
      type: 'image/heic',
    });
    expect(shrunk?.type).toBe('image/jpeg');
    const read = () =>
      desk.data().rows<{ reading: object | null }>(`select reading from exhibit where sha256 = $1`, [shrunk?.sha256]);
    await expect.poll(async () => (await read()).length, { timeout: 15_000 }).toBe(1);
    await desk.test.app.get(Jobs).workOff();
    const [row] = await read();
    // Read by exifr and sharp on the server: the turn is done, and what the camera wrote came along.
    expect(row?.reading).toMatchObject({
      camera: { make: 'Halde', model: 'Halde 3' },
      width: 1536,
      height: 2048,
      orientation: 1,
      position: { latitude: 40.4462 },
      capture: { capturedAt: '2026-03-02T13:41:07.000Z' },
    });
    await browser.kill();
  }, 60_000);
});

describe.skipIf(noBrowser !== undefined)('a line that is not to be had', () => {
  const context = browserForFile();

  it('a link that ran out keeps everything and says so; the new link sends it', async () => {
    const opened = await context(PHONE);
    const phone = new CrewPhone(link(), await opened.newPage());
    await phone.open();
    await hurry(phone.page);
    await phone.begin();
    await phone.allSent();
    await desk
      .data()
      .rows(`update visit_link set expires_at = $1`, [desk.test.clock.now().subtract({ hours: 1 }).toString()]);
    await phone.number('2');
    await expect.poll(() => phone.chip()).toContain('Needs you');
    await phone.page.getByRole('link', { name: 'Today' }).click();
    await phone.page.getByText('The link has expired.').waitFor();
    const { token } = await freshLink();
    await phone.page.goto(`${line.address}/visit#${token}`);
    await phone.page.waitForURL(/\/crew\/visits\//);
    await phone.allSent();
    expect((await service()).facts.map(({ n }) => n)).toEqual([1, 2]);
    await opened.close();
  });

  it('a link that does not count, one opened without a signal, and a service that is down each say what to do', async () => {
    const opened = await context(PHONE);
    const page = await opened.newPage();
    await page.goto(`${line.address}/visit#anl_nothing`);
    await page.getByText('This is not a visit link that counts.').waitFor();
    await page.route('**/crew/pack', (route) => route.fulfill({ status: 503, body: '{}' }));
    await page.getByLabel('Visit link').fill(link());
    await page.getByRole('button', { name: 'Open the visit' }).click();
    await page.getByText('The office does not answer right now.').waitFor();
    await page.unroute('**/crew/pack');
    await page.route('**/crew/pack', (route) => route.abort());
    await page.getByLabel('Visit link').fill(link());
    await page.getByRole('button', { name: 'Open the visit' }).click();
    await page.getByText('No signal. The link is kept on this phone').waitFor();
    await page.unroute('**/crew/pack');
    await page.reload();
    await page.waitForURL(/\/crew\/visits\//);
    expect(page.url()).not.toContain('anl_');
    await opened.close();
  });

  it('two tabs that are tapped at once send every thing once', async () => {
    const opened = await context(PHONE);
    const first = new CrewPhone(link(), await opened.newPage());
    await first.open();
    await first.begin();
    await first.number('2');
    await first.at('time-in-use');
    const second = await opened.newPage();
    await second.goto(first.page.url());
    await Promise.all([
      first.tap('Delivered today, not used yet'),
      second.getByRole('button', { name: 'A few days' }).click(),
    ]);
    await first.allSent();
    const { facts } = await service();
    expect(facts.map(({ n }) => n)).toEqual([1, 2, 3, 4]);
    const answers = await desk.data().rows(`select 1 one from inspection_answer where item = 'time-in-use'`);
    expect(answers).toHaveLength(2);
    await opened.close();
  });

  it('a new version waits until the work is done; what was unsent under the old one is sent', async () => {
    const opened = await context(PHONE);
    const phone = new CrewPhone(link(), await opened.newPage());
    await phone.open();
    await phone.keptForOffline();
    await phone.begin();
    line.rewrite = (path, body) => {
      if (path === '/crew-worker.js') return body.replace(/crew-[0-9a-f]{12}/, 'crew-ffffffffffff');
      return path === '/crew' ? body.replace('<div id="app">', '<div id="app" data-version="new">') : undefined;
    };
    await opened.setOffline(true);
    await phone.number('2');
    await opened.setOffline(false);
    await phone.page.evaluate(`navigator.serviceWorker.getRegistration().then((each) => each.update())`);
    await expect
      .poll(() =>
        phone.page.evaluate(`navigator.serviceWorker.getRegistration().then((each) => each.waiting !== null)`),
      )
      .toBe(true);
    await phone.page.reload();
    await phone.at('time-in-use');
    // Work is in hand: the page is still the old one, and what it kept goes out.
    expect(await phone.page.locator('[data-version]').count()).toBe(0);
    await phone.allSent();
    await phone.page.getByRole('link', { name: 'Check and send' }).waitFor();
    await phone.page.getByRole('link', { name: /One back|Back to the visit/ }).click();
    await phone.page.getByRole('link', { name: 'Today' }).click();
    await phone.tap('Take it now');
    await phone.page.locator('[data-version="new"]').waitFor({ state: 'attached', timeout: 30_000 });
    await phone.page.getByRole('link', { name: /PS-/ }).waitFor({ timeout: 30_000 });
    await opened.close();
  }, 90_000);

  /** Another link to the same visit, as the office makes one. */
  async function freshLink(): Promise<{ readonly token: string }> {
    const made = await desk.client.post(desk.home.analyst, `/v1/visits/${desk.visit}/links`, {
      crewName: 'Dana',
      hours: 24,
    });
    expect(made.statusCode, made.body).toBe(201);
    return made.json<{ token: string }>();
  }
});
