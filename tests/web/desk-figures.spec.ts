import { readFile } from 'node:fs/promises';
import type { BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { browserForFile, noBrowser } from './browser.js';
import { complaintsOf, deskAddress, wrongWith } from './desk-page.js';
import { WebDesk } from './web-desk.js';

describe.skipIf(noBrowser !== undefined)('the figures', () => {
  const context = browserForFile();
  let desk: WebDesk;
  let open: BrowserContext;
  let page: Page;
  let complaints: string[];

  beforeAll(async () => {
    desk = await WebDesk.open();
    await desk.settle();
    const claim = await desk.shortageClaim();
    const why = { outcome: 'approved', reason: 'goodwill', words: 'A good customer of many years.' };
    await desk.acts(claim, [desk.home.analyst, 'decisions', why]);
    await desk.assess();
    open = await context({ viewport: { width: 1360, height: 900 }, bypassCSP: true, acceptDownloads: true });
    await desk.signIn(open, desk.home.analyst);
    page = await open.newPage();
    complaints = complaintsOf(page);
  }, 120_000);
  afterAll(async () => {
    await desk.close();
    expect(complaints).toEqual([]);
  });

  const chart = (title: string) => page.locator('figure.chart').filter({ has: page.getByText(title, { exact: true }) });
  const numbersOf = (title: string) => chart(title).locator('tbody tr').allInnerTexts();

  it('are a key away, and stand beneath each drawing as a table and as CSV', async () => {
    await page.goto(deskAddress(desk, '/'));
    await page.getByRole('heading', { name: 'Queue' }).waitFor();
    await page.keyboard.press('g');
    await page.keyboard.press('f');
    await page.getByRole('heading', { name: 'Decided by outcome' }).waitFor();
    expect(await page.title()).toBe('Figures · As Noted');
    expect(await numbersOf('Decided by outcome')).toEqual(['Approved\t1', 'Approved in part\t0', 'Declined\t0']);
    // The claim was filed and decided at the same standing moment of the test's clock.
    expect(await numbersOf('Time to first look and to decision')).toEqual([
      'To first look\t0 min\t0 min\t1\t0',
      'To decision\t0 min\t0 min\t1\t0',
    ]);
    expect(await chart('Class by maker').locator('svg text').allTextContents()).toEqual(['1']);
    expect(await wrongWith(page, 'figures')).toEqual([]);
    const coming = page.waitForEvent('download');
    await chart('Decided by outcome').getByRole('button', { name: 'As CSV' }).click();
    const file = await coming;
    expect(file.suggestedFilename()).toBe('decided-by-outcome.csv');
    expect(await readFile(await file.path(), 'utf8')).toBe(
      'Outcome,Shortage\r\nApproved,1\r\nApproved in part,0\r\nDeclined,0\r\n',
    );
  });

  it('show fewer things by key, and are told apart without colour', async () => {
    const numbers = page.getByRole('button', { name: 'Numbers' });
    await page.keyboard.press('n');
    await page.locator('details[open]').waitFor({ state: 'detached' });
    expect(await numbers.getAttribute('aria-pressed')).toBe('false');
    await page.keyboard.press('n');
    await page.locator('details[open]').first().waitFor();
    await page.emulateMedia({ forcedColors: 'active' });
    const looks = await page.evaluate<{ drawn: string; ink: string }[]>(
      `[...document.querySelectorAll('figure.chart')[1].querySelectorAll('pattern')]
        .map((each) => ({ drawn: each.innerHTML, ink: getComputedStyle(each).color }))`,
    );
    expect(looks).toHaveLength(2);
    expect(new Set(looks.map(({ drawn }) => drawn)).size).toBe(2);
    expect(new Set(looks.map(({ ink }) => ink)).size).toBe(1);
    await page.emulateMedia({ forcedColors: 'none' });
  });

  it('are narrowed down in the address, and say when nothing is left', async () => {
    const [maker = ''] = (await page.locator('#maker option').allTextContents()).slice(1);
    await page.getByLabel('Maker', { exact: true }).selectOption(maker);
    await page.waitForURL((url) => url.searchParams.get('maker') === maker);
    await page.getByRole('heading', { name: `${maker}, by month` }).waitFor();
    await page.getByLabel('To', { exact: true }).fill('2025-12-31');
    await page.keyboard.press('Enter');
    await page.getByText('Nothing was filed, decided or opened in these days').waitFor();
    expect(await wrongWith(page, 'nothing to count', 'main')).toEqual([]);
    await page.getByLabel('From').fill('2026-06-01');
    await page.keyboard.press('Enter');
    await page.getByText('The first day lies after the last one.').waitFor();
    expect(await page.getByLabel('From').inputValue()).toBe('2026-06-01');
    expect(await wrongWith(page, 'days the wrong way round', 'main')).toEqual([]);
  });

  it('say what happened when they do not come, and come on asking again', async () => {
    await page.route('**/v1/figures**', (route) => route.abort());
    await page.goto(deskAddress(desk, '/figures'));
    await page.getByText('The service does not answer.').waitFor();
    expect(await wrongWith(page, 'no answer', 'main')).toEqual([]);
    await page.unrouteAll();
    await page.getByRole('button', { name: 'Try again' }).click();
    await page.getByRole('heading', { name: 'Decided by outcome' }).waitFor();
  });
});
