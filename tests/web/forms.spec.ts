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

  async function opened(who: 'analyst' | 'retailer' | 'crew', path: string): Promise<Page> {
    const hands = { analyst: desk.home.analyst, retailer: desk.home.retailerPerson, crew: desk.crew };
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

  it('take an answer and a photo of the crew, in the language that was chosen', async () => {
    const { aPhoto } = await import('../support/photo-desk.js');
    const page = await opened('crew', `/crew/visits/${desk.visit}`);
    await page.getByRole('link', { name: 'Español' }).click();
    expect(await page.locator('html').getAttribute('lang')).toBe('es');
    await page.getByRole('button', { name: 'Empezar la inspección' }).click();
    await page.locator('input[name=answer]').fill('dos');
    await page.getByRole('button', { name: 'Guardar y seguir' }).click();
    expect(await page.locator('input[name=answer]').inputValue()).toBe('dos');
    await page.locator('input[name=answer]').fill('2');
    await page.getByRole('button', { name: 'Guardar y seguir' }).click();
    await page.getByRole('button', { name: 'Entregado hoy, aún sin usar' }).click();
    await page.locator('#file-wide').setInputFiles({ name: 'a.jpg', mimeType: 'image/jpeg', buffer: await aPhoto() });
    await page.getByRole('button', { name: 'Enviar la foto' }).first().click();
    await desk.assess();
    await page.reload();
    expect(await page.locator('.thumbs img').count()).toBe(1);
    await page.getByRole('button', { name: 'Quitarla' }).click();
    expect(await page.locator('.thumbs img').count()).toBe(0);
  });
});

describe.skipIf(noBrowser !== undefined)('an answer without a signal', () => {
  const context = browserForFile();
  let desk: WebDesk;

  beforeAll(async () => {
    desk = await WebDesk.open();
    await desk.settle();
  });
  afterAll(() => desk.close());

  it('stays on the phone, says so, and goes out when the signal is back', async () => {
    const phone = await context({ viewport: { width: 390, height: 844 } });
    await desk.signIn(phone, desk.crew);
    const page = await phone.newPage();
    await page.goto(`${desk.address}/crew/visits/${desk.visit}`);
    await page.getByRole('button', { name: 'Start the inspection' }).click();
    const address = page.url();
    await phone.setOffline(true);
    await page.locator('input[name=answer]').fill('2');
    await page.getByRole('button', { name: 'Keep and go on' }).click();
    await page.getByText('No signal. Your answer is kept on this phone').waitFor();
    await phone.setOffline(false);
    await page.waitForURL((url) => url.href !== address);
    const rows = await desk.data().rows(`select item, value from inspection_answer`);
    expect(rows).toEqual([{ item: 'crew-size', value: 2 }]);
    expect(await page.evaluate('localStorage.length')).toBe(0);
  });
});
