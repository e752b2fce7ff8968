import type { Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { browserForFile, noBrowser } from './browser.js';
import { WebDesk } from './web-desk.js';

describe.skipIf(noBrowser !== undefined)('pages without scripts', () => {
  const context = browserForFile();
  let desk: WebDesk;
  let claim: string;

  beforeAll(async () => {
    desk = await WebDesk.open();
  });
  afterAll(() => desk.close());
  beforeEach(async () => {
    await desk.settle();
    claim = (await desk.proposed({ wish: undefined })).id;
  });

  async function opened(path: string): Promise<Page> {
    const scriptless = await context({ javaScriptEnabled: false, viewport: { width: 1280, height: 900 } });
    await desk.signIn(scriptless, desk.home.retailerPerson);
    const page = await scriptless.newPage();
    await page.goto(desk.address + path);
    return page;
  }

  it('take the retailer’s answer, and say what is missing in an empty one', async () => {
    await desk.acts(claim, [desk.home.analyst, 'questions', { asked: 'Was the foil opened?', of: 'retailer' }]);
    const page = await opened(`/claims/${claim}`);
    expect(await page.locator('#answer').innerText()).toContain('Was the foil opened?');
    await page.getByLabel('Your answer').fill('   ');
    await page.getByRole('button', { name: 'Send the answer' }).click();
    expect(await page.getByRole('alert').innerText()).toContain('Your answer is missing');
    await page.getByLabel('Your answer').fill('No, it is closed.');
    await page.getByRole('button', { name: 'Send the answer' }).click();
    expect(await page.getByText('Your answer is in.').count()).toBe(1);
    expect((await desk.read(claim)).state).toBe('filed');
  });
});
