import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Hand } from '../support/resources.js';
import { browserForFile, noBrowser } from './browser.js';
import { WebDesk } from './web-desk.js';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
/** WCAG 2.2 A and AA and what axe calls best practice. */
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

// Every page in light and dark, narrow and wide: no finding of axe-core, nothing wider than the window, nothing refused by the CSP.
describe.skipIf(noBrowser !== undefined)('every page', () => {
  const context = browserForFile();
  let desk: WebDesk;
  let pages: Readonly<Record<'nobody' | 'analyst' | 'administrator' | 'retailer', readonly string[]>>;

  beforeAll(async () => {
    desk = await WebDesk.open();
    await desk.settle();
    const claim = await desk.shortageClaim();
    pages = {
      nobody: ['/', '/sign-in', '/claims/nothing', '/nothing'],
      analyst: ['/account'],
      administrator: ['/account'],
      retailer: ['/claims', `/claims/${claim}`, '/claims/new', '/claims/new?find=nothing', '/desk'],
    };
  }, 120_000);
  afterAll(() => desk.close());

  /** In the dark nothing but colours is different. */
  async function findings(page: Page, colorScheme: 'light' | 'dark'): Promise<string[]> {
    await page.emulateMedia({ colorScheme });
    const rules = JSON.stringify(colorScheme === 'light' ? RULES : { type: 'rule', values: ['color-contrast'] });
    const found = await page.evaluate(
      `axe.run(document, { runOnly: ${rules}, resultTypes: ['violations'] }).then(({ violations }) =>
        violations.map(({ id, nodes }) => id + ' at ' + nodes.map(({ target }) => target.join(' ')).join(', ')))`,
    );
    return (found as string[]).map((each) => `${each} in ${colorScheme}`);
  }

  it.each(['nobody', 'analyst', 'administrator', 'retailer'] as const)('of %s', async (who) => {
    const hands: Readonly<Record<string, Hand | undefined>> = {
      analyst: desk.home.analyst,
      administrator: desk.home.administrator,
      retailer: desk.home.retailerPerson,
    };
    const hand = hands[who];
    // Axe itself is put into the page past the CSP; the console is watched for what the page's own files would be refused.
    const opened = await context({ viewport: { width: 1280, height: 900 }, bypassCSP: true });
    if (hand !== undefined) await desk.signIn(opened, hand);
    const page = await opened.newPage();
    const wrong: string[] = [];
    page.on('console', (message) => {
      const text = message.text();
      if (message.type() === 'error' && !/status of (403|404)/.test(text)) wrong.push(text);
    });
    page.on('pageerror', (error) => wrong.push(String(error)));
    for (const path of pages[who]) {
      await page.goto(desk.address + path);
      if (!(await page.title()).endsWith(' · As Noted')) wrong.push(`${path} has no title of its own`);
      await page.evaluate(`${AXE};0`);
      for (const scheme of ['light', 'dark'] as const) {
        for (const found of await findings(page, scheme)) wrong.push(`${path}: ${found}`);
      }
      for (const width of [1280, 320]) {
        await page.setViewportSize({ width, height: 900 });
        const [full, window] = await page.evaluate<[number, number]>(
          '[document.documentElement.scrollWidth, innerWidth]',
        );
        if (full > window) wrong.push(`${path} is ${full} wide in a window of ${window}`);
      }
      await page.setViewportSize({ width: 1280, height: 900 });
    }
    expect(wrong).toEqual([]);
    await opened.close();
  });
});
