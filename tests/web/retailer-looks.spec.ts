import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { crewHand } from '../support/resources.js';
import { browserForFile, noBrowser } from './browser.js';
import { phonePhoto, WebDesk } from './web-desk.js';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
/** WCAG 2.2 A and AA and what axe calls best practice. */
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
const SIZES = [
  { width: 1280, height: 900 },
  { width: 320, height: 640 },
] as const;

// Every page of the retailer in every state: no finding of axe-core in light and dark, and nothing wider than a window of 320 px.
describe.skipIf(noBrowser !== undefined)('the retailer’s pages', () => {
  const context = browserForFile();
  let desk: WebDesk;
  let page: Page;
  let inspected: string;
  let decided: string;

  beforeAll(async () => {
    desk = await WebDesk.open();
    await desk.settle();
    decided = (await desk.proposed()).id;
    await desk.acts(
      decided,
      [desk.home.analyst, 'decisions', { outcome: 'declined', reason: 'goodwill', words: 'It was used for a year.' }],
      [desk.home.retailerPerson, 'appeals', { words: 'It was not.' }],
    );
    await desk.assess();
    await desk.acts(decided, [desk.home.analyst, 'decisions', { outcome: 'approved' }]);
    desk.visit = await desk.delivered();
    desk.crew = await crewHand(desk.data(), desk.home.tenant, desk.visit);
    inspected = await desk.shortageClaim();
    await desk.acts(inspected, [desk.home.analyst, 'questions', { asked: 'Was the foil opened?', of: 'retailer' }]);
    const opened = await context({ viewport: SIZES[0], bypassCSP: true });
    await desk.signIn(opened, desk.home.retailerPerson);
    page = await opened.newPage();
  }, 60_000);
  afterAll(() => desk.close());

  /** What is wrong with the page as it stands. In the dark nothing but colours is different. */
  async function faults(): Promise<string[]> {
    await page.evaluate(`${AXE};0`);
    const wrong: string[] = [];
    for (const [colorScheme, only] of [
      ['light', JSON.stringify(RULES)],
      ['dark', `{ type: 'rule', values: ['color-contrast'] }`],
    ] as const) {
      await page.emulateMedia({ colorScheme });
      const found = await page.evaluate(
        `axe.run(document, { runOnly: ${only}, resultTypes: ['violations'] }).then(({ violations }) =>
          violations.map(({ id, nodes }) => id + ' at ' + nodes.map(({ target }) => target.join(' ')).join(', ')))`,
      );
      wrong.push(...(found as string[]).map((each) => `${each} in ${colorScheme}`));
    }
    await page.emulateMedia({ colorScheme: 'light' });
    for (const size of SIZES.toReversed()) {
      await page.setViewportSize(size);
      const full = await page.evaluate<number>('document.documentElement.scrollWidth');
      if (full > size.width) wrong.push(`${full} wide in a window of ${size.width}`);
    }
    return wrong;
  }

  it.each([
    ['the board', '/claims', 'Answer our question'],
    ['the board without claims', '/claims?view=closed', 'No claim of yours is settled'],
    ['the board where nothing is found', '/claims?find=nothing', 'Nothing is found'],
    ['a claim with a question', () => `/claims/${inspected}`, 'We need to know'],
    ['a decided claim without an inspection', () => `/claims/${decided}`, 'rests on no inspection'],
    ['a letter', () => `/claims/${decided}/letters/2`, 'The claim is approved.'],
    ['a letter that was replaced', () => `/claims/${decided}/letters/1`, 'A later decision'],
    ['the page for a return', '/claims/new?find=nothing', 'No delivery of yours'],
    ['the page of webhooks', '/claims/webhooks', 'not offered yet'],
    ['a page that is not there', '/claims/nothing', 'There is no such page'],
  ] as const)('%s', async (_name, path, says) => {
    await page.goto(desk.address + (typeof path === 'string' ? path : path()));
    expect(await page.locator('main').innerText()).toContain(says);
    expect(await faults()).toEqual([]);
  });

  it('a file that is refused, and one that is in', async () => {
    for (const [buffer, says] of [
      [Buffer.from('no picture'), 'No file was kept.'],
      [await phonePhoto(1), 'The file is in.'],
    ] as const) {
      await page.goto(`${desk.address}/claims/${inspected}`);
      await page.getByText('A receipt, a packing list').click();
      await page.getByLabel('Which question').selectOption('receipt-kind');
      await page.getByLabel('Photos or scans').setInputFiles({ name: 'note.jpg', mimeType: 'image/jpeg', buffer });
      await page.getByRole('button', { name: 'Add it' }).click();
      expect(await page.locator('main').innerText()).toContain(says);
      expect(await faults()).toEqual([]);
    }
  });

  it('keys: none, a form that is refused, one that was made, one that is replaced', async () => {
    await page.goto(`${desk.address}/claims/keys`);
    expect(await faults()).toEqual([]);
    const make = page.getByRole('button', { name: 'Make the key' });
    await page.getByLabel('What it is for').fill('shop till');
    await make.click();
    expect(await page.getByRole('alert').innerText()).toContain('Tick at least one thing');
    expect(await faults()).toEqual([]);
    await page.getByLabel('Read your claims').check();
    await make.click();
    expect(await page.locator('#made').innerText()).toMatch(/^ank_/);
    await page.goto(`${desk.address}/claims/keys`);
    await page.getByRole('link', { name: 'Replace shop till' }).click();
    expect(await page.getByLabel('Read your claims').isChecked()).toBe(true);
    expect(await faults()).toEqual([]);
    await make.click();
    expect(await faults()).toEqual([]);
    await page.getByRole('button', { name: 'End the old one' }).click();
    expect(await page.locator('#keys').innerText()).toContain('Ended');
    expect(await faults()).toEqual([]);
  });
});
