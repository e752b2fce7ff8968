import type { BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { browserForFile, noBrowser } from './browser.js';
import { wrongWith } from './desk-page.js';
import { WebDesk } from './web-desk.js';

/** A phone on which scripts are switched off, as a mail program may open the page. */
const PHONE = { viewport: { width: 390, height: 844 }, deviceScaleFactor: 2, isMobile: true, hasTouch: true } as const;
const KB = 1000;

describe.skipIf(noBrowser !== undefined)('the page of a claim in a browser', () => {
  const context = browserForFile();
  let desk: WebDesk;
  let claim: string;

  beforeAll(async () => {
    desk = await WebDesk.open();
  });
  afterAll(() => desk.close());
  beforeEach(async () => {
    await desk.settle();
    claim = await desk.shortageClaim();
    await desk.acts(claim, [desk.home.analyst, 'questions', { asked: 'Was the foil opened?', of: 'retailer' }]);
  });

  async function opened(options: Parameters<typeof context>[0] = {}): Promise<{ page: Page; within: BrowserContext }> {
    const within = await context(options);
    await desk.signIn(within, desk.home.retailerPerson);
    const page = await within.newPage();
    await page.goto(`${desk.address}/claims/${claim}`);
    return { page, within };
  }

  it('reads and answers without scripts, and all that comes for it is within 60 kB; photos have a page of their own', async () => {
    const within = await context({ ...PHONE, javaScriptEnabled: false });
    await desk.signIn(within, desk.home.retailerPerson);
    const page = await within.newPage();
    const sizes: Promise<{ readonly url: string; readonly bytes: number }>[] = [];
    page.on('response', (response) => {
      const size = response.body().then((body) => ({ url: response.url(), bytes: body.length }));
      sizes.push(size);
    });
    await page.goto(`${desk.address}/claims/${claim}`, { waitUntil: 'load' });
    page.removeAllListeners('response');
    const came = await Promise.all(sizes);
    expect(came.length).toBeGreaterThan(5);
    expect(came.filter(({ url }) => url.includes('/photos/'))).toEqual([]);
    const bytes = came.reduce((sum, each) => sum + each.bytes, 0);
    expect(bytes).toBeLessThanOrEqual(60 * KB);
    await page.getByLabel('Your answer').fill('It was sealed.');
    await page.getByRole('button', { name: 'Send the answer' }).click();
    expect(await page.locator('main').innerText()).toContain('Your answer is in.');
    await page.getByRole('link', { name: /^Look at the/ }).click();
    expect(await page.locator('.photos img').count()).toBeGreaterThan(0);
    await within.close();
  });

  it('shifts nothing while it is drawn', async () => {
    const { page, within } = await opened(PHONE);
    for (const path of ['', '/photos']) {
      await page.goto(`${desk.address}/claims/${claim}${path}`);
      await page.evaluate(`globalThis.shifted = 0; new PerformanceObserver((list) => {
        for (const entry of list.getEntries()) if (!entry.hadRecentInput) globalThis.shifted += entry.value;
      }).observe({ type: 'layout-shift', buffered: true });`);
      await page.evaluate(
        `Promise.all([...document.images].slice(0, 2).map((each) => each.decode().catch(() => null)))`,
      );
      await page.evaluate('new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn)))');
      expect(await page.evaluate<number>('shifted'), path).toBeLessThanOrEqual(0.05);
    }
    await within.close();
  });

  it('can be worked by keyboard alone, with the focus in sight, from the board to an answer that is sent', async () => {
    const { page, within } = await opened();
    await page.goto(`${desk.address}/claims`);
    const until = async (wanted: RegExp): Promise<void> => {
      for (let presses = 0; presses < 40; presses += 1) {
        await page.keyboard.press('Tab');
        const [said, outline] = await page.evaluate<[string, string]>(
          `[document.activeElement.textContent || document.activeElement.id, getComputedStyle(document.activeElement).outlineStyle]`,
        );
        expect(outline, said).not.toBe('none');
        if (wanted.test(said)) return;
      }
      throw new Error(`the keyboard does not reach ${wanted.source}`);
    };
    await until(/^Skip to the page$/);
    await page.keyboard.press('Enter');
    await until(/^Answer our question/);
    await page.keyboard.press('Enter');
    await page.waitForURL(/#answer$/);
    await until(/^answer-words$/);
    await page.keyboard.type('It was sealed.');
    await until(/^Send the answer$/);
    await page.keyboard.press('Enter');
    await page.getByText('Your answer is in.').waitFor();
    await within.close();
  });

  it('keeps what was typed when the line is gone, and sends it once when it is back', async () => {
    const { page, within } = await opened();
    const words = page.getByLabel('Your answer');
    await words.fill('It was sealed.');
    await within.setOffline(true);
    await page.getByRole('button', { name: 'Send the answer' }).click();
    await page.waitForURL('chrome-error://chromewebdata/');
    await within.setOffline(false);
    await page.goBack();
    expect(await words.inputValue()).toBe('It was sealed.');
    await page.getByRole('button', { name: 'Send the answer' }).click();
    await page.getByText('Your answer is in.').waitFor();
    expect((await desk.kinds(claim)).filter((kind) => kind === 'information-given')).toHaveLength(1);
    await within.close();
  });

  it('keeps what was typed when the session has ended meanwhile', async () => {
    const { page, within } = await opened({ bypassCSP: true });
    await page.getByLabel('Your answer').fill('It was sealed.');
    await desk.data().rows('update session set ended_at = now()');
    await page.getByRole('button', { name: 'Send the answer' }).click();
    expect(await page.locator('main').innerText()).toContain('Sign in in another tab');
    expect(await wrongWith(page, 'signed out')).toEqual([]);
    await desk.data().rows('update session set ended_at = null');
    await page.goBack();
    expect(await page.getByLabel('Your answer').inputValue()).toBe('It was sealed.');
    await page.getByRole('button', { name: 'Send the answer' }).click();
    await page.getByText('Your answer is in.').waitFor();
    await within.close();
  });

  it('says so when somebody else has changed the claim meanwhile, and keeps what was typed', async () => {
    const { page, within } = await opened();
    await page.getByLabel('Your answer').fill('It was sealed.');
    await desk.acts(claim, [desk.home.retailerPerson, 'information', { words: 'It was open.' }]);
    await desk.assess();
    await desk.acts(claim, [desk.home.analyst, 'questions', { asked: 'By whom?', of: 'retailer' }]);
    await page.getByRole('button', { name: 'Send the answer' }).click();
    expect(await page.getByRole('alert').innerText()).not.toBe('');
    expect(await page.getByLabel('Your answer').inputValue()).toBe('It was sealed.');
    expect(await page.locator('#answer').innerText()).toContain('By whom?');
    await within.close();
  });
});
