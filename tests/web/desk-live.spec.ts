import type { BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { browserForFile, noBrowser } from './browser.js';
import { deskAddress } from './desk-page.js';
import { WebDesk } from './web-desk.js';

/** More than the six lines that a browser allows to one service without HTTP/2. */
const TABS = 7;

describe.skipIf(noBrowser !== undefined)('many tabs of the desk', () => {
  const context = browserForFile();
  let desk: WebDesk;
  let open: BrowserContext;

  beforeAll(async () => {
    desk = await WebDesk.open();
    await desk.settle();
    open = await context();
    await desk.signIn(open, desk.home.analyst);
  }, 120_000);
  afterAll(() => desk.close());

  it('share one line: all hear what changes, also once the tab that held it is closed', async () => {
    const lines: string[] = [];
    open.on('request', (request) => {
      if (request.url().endsWith('/changes')) lines.push(request.url());
    });
    const tabs: Page[] = [];
    for (let n = 0; n < TABS; n += 1) {
      const tab = await open.newPage();
      tabs.push(tab);
      await tab.goto(deskAddress(desk, '/'));
      await tab.getByText('Live', { exact: true }).waitFor();
    }
    expect(lines).toHaveLength(1);
    const claims = (tab: Page): Promise<number> => tab.locator('tbody tr').count();
    await desk.proposed();
    for (const tab of tabs) await expect.poll(() => claims(tab)).toBe(1);
    await tabs.shift()?.close();
    await expect.poll(() => lines.length).toBe(2);
    await desk.proposed({ visitId: await desk.delivered() }, desk.home.retailerPerson);
    for (const tab of tabs) await expect.poll(() => claims(tab)).toBe(2);
    expect(lines).toHaveLength(2);
  }, 60_000);
});
