import { inflateSync } from 'node:zlib';
import type { BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { browserForFile, noBrowser } from './browser.js';
import { complaintsOf, deskAddress, wrongWith } from './desk-page.js';
import { WebDesk } from './web-desk.js';

/** Texts and streams of a PDF, as far as they are packed with Flate only. */
function unpacked(pdf: Buffer): string {
  const text = pdf.toString('latin1');
  const streams = [...text.matchAll(/stream\r?\n([\s\S]*?)\r?\nendstream/g)].map(([, body = '']) => {
    try {
      return inflateSync(Buffer.from(body, 'latin1')).toString('latin1');
    } catch {
      return '';
    }
  });
  return text + streams.join('\n');
}

// Deciding at the desk: with notes, with words to the retailer, beside other people, and on paper.
describe.skipIf(noBrowser !== undefined)('a decision at the desk', () => {
  const context = browserForFile();
  let desk: WebDesk;
  let id: string;
  let open: BrowserContext;
  let page: Page;
  let complaints: string[];

  beforeAll(async () => {
    desk = await WebDesk.open();
    await desk.settle();
    id = await desk.shortageClaim({ words: '<img src=x onerror=alert(1)>' });
    open = await context({ viewport: { width: 1360, height: 900 }, bypassCSP: true });
    await desk.signIn(open, desk.home.analyst);
    page = await open.newPage();
    complaints = complaintsOf(page);
    await page.goto(deskAddress(desk, '/?view=open'));
    await page.locator('tbody tr').first().waitFor();
    await page.keyboard.press('Enter');
    await page.locator('#photos .pane img').first().waitFor();
  }, 120_000);
  afterAll(async () => {
    await desk.close();
    expect(complaints).toEqual([]);
  });

  it('begins with a look around by keys: back to the view one came from, into the case again, a note', async () => {
    await page.getByRole('heading', { name: 'Warranty' }).waitFor();
    await page
      .locator('#warranty')
      .getByText(/^\d+ months?, until/)
      .first()
      .waitFor();
    await page.keyboard.press('Escape');
    await page.waitForURL(/view=open/);
    await page.locator('tbody tr').first().waitFor();
    await page.keyboard.press('x');
    await page.getByText('1 picked.').waitFor();
    expect(await wrongWith(page, 'a queue with a picked claim')).toEqual([]);
    await page.getByRole('button', { name: 'Go through the picked ones' }).click();
    await page.getByText('1 of 1').waitFor();
    await page.keyboard.press('n');
    await page.keyboard.type('The depot calls back on Thursday.');
    await page.locator('#note').getByRole('button').click();
    await page.locator('#trail').getByText('The depot calls back on Thursday.').waitFor();
    // One's own note is no news, and closes nothing to oneself.
    expect(await page.locator('.news').count()).toBe(0);
  });

  it('has photos of other visits beside it that look alike, with what was measured and how often that is wrong', async () => {
    const photo = (one: string, numbers: readonly string[]) => ({
      id: one,
      item: 'carton',
      shows: 'wide',
      receivedAt: '2026-03-02T10:00:00.000Z',
      withdrawn: false,
      claims: numbers.map((number) => ({ id: `claim-${number}`, number })),
      picture: `/v1/photos/${one}/renditions/512`,
    });
    const said = { givenAt: '2026-03-02T12:00:00.000Z', givenBy: { name: 'Ada Merrow' } };
    const alike = {
      id: 'p',
      band: 'probable',
      foundBy: 'fingerprint',
      distance: 44,
      turn: 'turned by 180°',
      sameShot: false,
      rate: { flagged: 0, of: 1_021_731, among: 'pairs of different photos' },
      later: photo('new', []),
      earlier: photo('old', ['482177305']),
      opinions: [{ opinion: 'different thing', words: 'Another base.', ...said }],
    };
    const { distance: _bits, turn: _turn, rate: _rate, ...part } = alike;
    const seen = { ...part, id: 'q', band: 'check', foundBy: 'local features', matches: 40, inliers: 31, opinions: [] };
    const png = Buffer.from(
      'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==',
      'base64',
    );
    await page.route('**/v1/photos/*/renditions/512', (route) =>
      route.fulfill({ contentType: 'image/png', body: png }),
    );
    await page.route('**/photo-pairs', (route) => route.fulfill({ json: { items: [alike, seen] } }));
    await page.reload();
    const pairs = page.locator('#pairs .finding');
    await pairs.nth(1).waitFor();
    const [first = '', second = ''] = await pairs.allInnerTexts();
    expect(await pairs.first().locator('img').count()).toBe(2);
    expect(first).toContain('Claim 482 177 305');
    expect(first).toContain('44 of 256 bits differ, one is turned (turned by 180°)');
    expect(first).toContain('It was wrong about 0 of 1,021,731 pairs of different photos.');
    expect(first).toContain('Different thing: Another base.');
    expect(second).toContain('31 of 40 details fit one move');
    expect(second).not.toMatch(/Different thing|1,021,731/);
    // It is no verdict, and nobody is called anything for it.
    expect(await page.locator('#pairs').innerText()).not.toMatch(/fraud|cheat|false claim/i);
    expect(await wrongWith(page, 'photos that look alike', '#pairs')).toEqual([]);
    await page.unrouteAll({ behavior: 'ignoreErrors' });
    await page.reload();
    await page.locator('#photos .pane img').first().waitFor();
  });

  it('keeps a refusal with its reason and words when somebody was faster, and sends it once it was looked at', async () => {
    const words = 'The unit was used for a year before <b>it</b> came back.';
    const form = page.locator('#decline');
    // What people typed is text, never markup.
    await page.getByText('<img src=x onerror=alert(1)>').waitFor();
    expect(await page.locator('img[src=x]').count()).toBe(0);
    await form.locator('summary').first().click();
    await form.getByLabel('Reason').selectOption('new facts from the customer');
    await form.getByLabel('In a sentence').fill(words);
    await form.getByText('The policy says:').waitFor();
    await form.getByText('What was the matter').click();
    const matter = form.locator('select[name^="matter:"]').first();
    const named = await matter.locator('option').nth(1).innerText();
    await matter.selectOption({ index: 1 });
    await form.getByText('Words to the retailer').click();
    await form.getByLabel('In Spanish').fill('La unidad fue usada <b>un año</b>.');
    expect(await wrongWith(page, 'a refusal that is being written', '#acts')).toEqual([]);
    await desk.acts(
      id,
      [desk.second, 'questions', { asked: 'Is the carton still there?', of: 'retailer' }],
      [desk.second, 'information', { words: 'Yes, it is.' }],
    );
    await desk.assess();
    await page.getByText('The case has changed while you were at it.').waitFor();
    await page.locator('.head').getByText('Proposed').waitFor();
    const send = form.getByRole('button', { name: 'Decline the claim' });
    await send.click();
    await form.getByText('Somebody changed this in the meantime.').waitFor();
    expect((await desk.read(id)).state).toBe('proposed');
    expect(await form.getByLabel('In a sentence').inputValue()).toBe(words);
    await send.click();
    await page.locator('#decisions').getByText(words).waitFor();
    expect((await desk.read(id)).state).toBe('decided');
    const said = page.locator('#decisions [lang=es]');
    expect(await said.innerText()).toBe('La unidad fue usada <b>un año</b>.');
    // The name of the explanation stands before its component in the list.
    expect(await page.locator('#decisions').innerText()).toContain(
      `: ${named.replace(/ \(.*$/, '').replace(/^./, (letter) => letter.toLowerCase())}`,
    );
    const retailer = await desk.page(desk.home.retailerPerson, `/claims/${id}`);
    expect(retailer.body).toContain('La unidad fue usada &lt;b>un año&lt;/b>.');
    expect(retailer.body).not.toContain('The depot calls back');
  });

  it('goes on paper whole: the file without doors and forms, one column, everything unfolded, photos in it', async () => {
    await page.emulateMedia({ colorScheme: 'dark', media: 'print' });
    const folded = await page.locator('.case details:not(.act, .noprint)').count();
    expect(folded).toBeGreaterThan(0);
    for (const gone of ['.side', '#acts', '.places', '.phototable', '.beside']) {
      expect(await page.locator(gone).first().isVisible(), gone).toBe(false);
    }
    const lefts = await page
      .locator('.case section')
      .evaluateAll((all) => all.filter((each) => each.id !== 'acts').map((each) => each.getBoundingClientRect().left));
    expect(new Set(lefts).size).toBe(1);
    // Also somebody who works in the dark prints dark on white: CSS Color Adjustment asks for light paper.
    const ink = await page
      .locator('.quiet')
      .first()
      .evaluate((each) => getComputedStyle(each).color);
    const [r = 255, g = 255, b = 255] = (ink.match(/\d+/g) ?? []).map(Number);
    expect(Math.max(r, g, b)).toBeLessThan(128);
    await page.evaluate(`dispatchEvent(new Event('beforeprint'))`);
    expect(await page.locator('.case details:not(.act, .noprint, [open])').count()).toBe(0);
    const pdf = unpacked(await page.pdf({ format: 'A4' }));
    await page.evaluate(`dispatchEvent(new Event('afterprint'))`);
    expect(await page.locator('.case details:not(.act, .noprint, [open])').count()).toBeGreaterThan(0);
    await page.emulateMedia({ colorScheme: 'light', media: 'screen' });
    const pages = pdf.match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0;
    expect(pages).toBeGreaterThan(1);
    expect(pages).toBeLessThan(20);
    // Three photos were demanded; each is a picture object in the file (ISO 32000, 8.9.5).
    expect(pdf.match(/\/Subtype\s*\/Image/g)?.length ?? 0).toBeGreaterThanOrEqual(3);
  });
});
