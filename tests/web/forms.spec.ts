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

  async function opened(who: 'analyst' | 'retailer', path: string): Promise<Page> {
    const hands = { analyst: desk.home.analyst, retailer: desk.home.retailerPerson };
    const scriptless = await context({ javaScriptEnabled: false, viewport: { width: 1280, height: 900 } });
    await desk.signIn(scriptless, hands[who]);
    const page = await scriptless.newPage();
    await page.goto(desk.address + path);
    return page;
  }

  it('take a decision, and keep what was typed when somebody was faster', async () => {
    const page = await opened('analyst', `/desk/claims/${claim}`);
    await page.getByText('Decline', { exact: true }).click();
    const words = 'The unit was used for a year before it came back.';
    await page.locator('#decline').getByLabel('In a sentence').fill(words);
    await page.locator('#decline').getByLabel('Reason').selectOption('new facts from the customer');
    const asked = await desk.act(desk.second, claim, 'questions', {
      asked: 'Is the carton still there?',
      of: 'retailer',
    });
    expect(asked.statusCode).toBe(201);
    await desk.acts(claim, [desk.second, 'information', { words: 'Yes, it is.' }]);
    await desk.assess();
    await page.locator('#decline').getByRole('button').click();
    expect(await page.locator('#decline [role=alert]').innerText()).toContain(
      'Somebody changed this claim in the meantime',
    );
    expect(await page.locator('#decline').getByLabel('In a sentence').inputValue()).toBe(words);
    await page.locator('#decline').getByRole('button').click();
    expect(await page.locator('#decisions').innerText()).toContain(words);
    expect((await desk.read(claim)).state).toBe('decided');
  });

  it('take the retailer’s answer, and say what is missing in an empty one', async () => {
    await desk.acts(claim, [desk.home.analyst, 'questions', { asked: 'Was the foil opened?', of: 'retailer' }]);
    const page = await opened('retailer', `/claims/${claim}`);
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
