import type { CDPSession, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { crewHand } from '../support/resources.js';
import { browserForFile, noBrowser } from './browser.js';
import { wrongWith } from './desk-page.js';
import { phonePhoto, WebDesk } from './web-desk.js';

const WINDOW = { width: 1280, height: 900 } as const;

/** How people look at pages, and what they have set for themselves: window, size of type, forced colours. */
const HOLDS = [
  ['at 320 pixels', { width: 320, height: 640 }, 16, 'none'],
  ['with type at twice the size', { width: 390, height: 844 }, 32, 'none'],
  ['on its side', { width: 844, height: 390 }, 16, 'none'],
  ['in forced colours', { width: 390, height: 844 }, 16, 'active'],
] as const;

// Every page of the retailer in every state: no finding of axe-core in light and dark, nothing wider than the window or cut off however
// it is held, and nothing that is too small to be hit (WCAG 2.2, 2.5.8: 24 pixels).
describe.skipIf(noBrowser !== undefined)('the retailer’s pages', () => {
  const context = browserForFile();
  let desk: WebDesk;
  let page: Page;
  let tools: CDPSession;
  let inspected: string;
  let decided: string;

  beforeAll(async () => {
    desk = await WebDesk.open();
    await desk.settle();
    decided = (await desk.proposed()).id;
    const toRetailer = { en: 'It was used for a year.\n\nAsk again with the receipt.', es: 'Se usó durante un año.' };
    await desk.acts(
      decided,
      [
        desk.home.analyst,
        'decisions',
        { outcome: 'declined', reason: 'goodwill', words: 'Said by phone.', toRetailer },
      ],
      [desk.home.retailerPerson, 'appeals', { words: 'It was not.' }],
    );
    await desk.assess();
    await desk.acts(decided, [desk.home.analyst, 'decisions', { outcome: 'approved' }]);
    desk.visit = await desk.delivered();
    desk.crew = await crewHand(desk.data(), desk.home.tenant, desk.visit);
    inspected = await desk.shortageClaim();
    await desk.acts(inspected, [desk.home.analyst, 'questions', { asked: 'Was the foil opened?', of: 'retailer' }]);
    const opened = await context({ viewport: WINDOW, bypassCSP: true });
    await desk.signIn(opened, desk.home.retailerPerson);
    page = await opened.newPage();
    tools = await opened.newCDPSession(page);
    await tools.send('Page.enable');
  }, 60_000);
  afterAll(() => desk.close());

  /** What is wrong with the page as it stands. */
  async function faults(): Promise<string[]> {
    const wrong = await wrongWith(page, 'page');
    for (const [how, viewport, em, forcedColors] of HOLDS) {
      await page.setViewportSize(viewport);
      await page.emulateMedia({ forcedColors });
      await tools.send('Page.setFontSizes', { fontSizes: { standard: em } });
      wrong.push(...(await spilt()).map((each) => `${how}: ${each}`));
    }
    await page.setViewportSize(WINDOW);
    await page.emulateMedia({ forcedColors: 'none' });
    await tools.send('Page.setFontSizes', { fontSizes: { standard: 16 } });
    return wrong;
  }

  async function spilt(): Promise<string[]> {
    return page.evaluate<string[]>(`[
      ...(document.documentElement.scrollWidth > innerWidth + 1 ? [document.documentElement.scrollWidth + ' wide'] : []),
      ...[...document.querySelectorAll('button, .button, h1, h2, label, .mark, .pick, summary')]
        .filter((each) => each.checkVisibility() && each.clientWidth > 0 && each.scrollWidth > each.clientWidth + 1
          && getComputedStyle(each).display !== 'inline')
        .map((each) => 'cut off: ' + each.textContent.trim().slice(0, 40)),
      ...[...document.querySelectorAll('button, .button, summary, input, select, textarea, nav a')]
        .filter((each) => each.checkVisibility() && !(each.matches('input') && each.closest('label')))
        .map((each) => [each, each.getBoundingClientRect()])
        .filter(([, { width, height }]) => height > 0 && (height < 23.5 || width < 23.5))
        .map(([each, { width, height }]) => 'small: ' + each.outerHTML.slice(0, 60) + ' ' + width + '×' + height),
    ]`);
  }

  it.each([
    ['the board', '/claims', 'Answer our question'],
    ['the board without claims', '/claims?view=closed', 'No claim of yours is settled'],
    [
      'the board where nothing is found',
      '/claims?find=nothing&ground=damage',
      'Nothing is found for “nothing”, about damage',
    ],
    ['a claim with a question', () => `/claims/${inspected}`, 'We need to know'],
    ['the photos of a claim', () => `/claims/${inspected}/photos`, 'Photo of the inspection'],
    ['a claim without photos', () => `/claims/${decided}/photos`, 'There are none.'],
    ['a decided claim without an inspection', () => `/claims/${decided}`, 'rests on no inspection'],
    ['a letter', () => `/claims/${decided}/letters/2`, 'The claim is approved.'],
    ['a letter in Spanish that was replaced', () => `/claims/${decided}/letters/1?lang=es`, 'Una decisión posterior'],
    ['the page for a return', '/claims/new?find=nothing', 'No delivery of yours'],
    ['files, none so far', '/claims/export', 'None yet.'],
    ['files that cannot be chosen so', '/claims/export/file?from=2026-03-02&to=2026-03-01', 'before the first one'],
    ['people and address', '/claims/company', 'No address is on record.'],
    ['the page of webhooks', '/claims/webhooks', 'not offered yet'],
    ['a page that is not there', '/claims/nothing', 'There is no such page'],
    ['a claim that is not there', '/claims/3f0c2c1e-0000-4000-8000-000000000000', 'There is no such page'],
  ] as const)('%s', async (_name, path, says) => {
    await page.goto(desk.address + (typeof path === 'string' ? path : path()));
    expect(await page.locator('main').innerText()).toContain(says);
    expect(await page.title()).toMatch(/^.+ · As Noted$/);
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

  it('files: one that is taken, one that is made by itself, and an address that is kept', async () => {
    await page.goto(`${desk.address}/claims/export?view=open`);
    const coming = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Take the file now' }).click();
    expect((await coming).suggestedFilename()).toMatch(/^claims-2026-03-02\.csv$/);
    await page.getByText('Have it made by itself').first().click();
    await page.getByLabel('How often').selectOption('week');
    await page.getByRole('button', { name: 'Have it made by itself' }).click();
    const said = await page.locator('main').innerText();
    for (const each of ['The file will be made by itself.', 'Every Monday: claims under “Open”', 'taken by'])
      expect(said).toContain(each);
    expect(await faults()).toEqual([]);
    await page.goto(`${desk.address}/claims/company`);
    await page.getByText('Give an address').first().click();
    await page.getByLabel('Address for letters').fill('12 Quay Street\nTruro');
    await page.getByRole('button', { name: 'Keep this address' }).first().click();
    expect(await page.locator('address').first().innerText()).toBe('12 Quay Street\nTruro');
    expect(await faults()).toEqual([]);
  });
});
