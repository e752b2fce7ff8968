import type { BrowserContext, Page } from 'playwright-core';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { decodeLabels } from '../../src/evidence/imaging/label-decoder.js';
import { browserForFile, noBrowser } from './browser.js';
import { complaintsOf, deskAddress, wrongWith } from './desk-page.js';
import { WebDesk } from './web-desk.js';

// Visits at the desk: found, planned by keys, let a crew in by a link that is shown once.
describe.skipIf(noBrowser !== undefined)('visits at the desk', () => {
  const context = browserForFile();
  let desk: WebDesk;
  let open: BrowserContext;
  let page: Page;
  let complaints: string[];

  beforeAll(async () => {
    desk = await WebDesk.open();
    await desk.settleNow();
    open = await context({ viewport: { width: 1360, height: 900 }, bypassCSP: true });
    await desk.signIn(open, desk.home.analyst);
    page = await open.newPage();
    complaints = complaintsOf(page);
  }, 120_000);
  afterAll(async () => {
    await desk.close();
    expect(complaints).toEqual([]);
  });

  const row = (order: string) => page.locator('tbody tr').filter({ hasText: order });

  it('are listed, found and told apart by state, and the list says so when nothing is like that', async () => {
    await page.goto(deskAddress(desk, '/visits'));
    await page.locator('tbody tr').first().waitFor();
    expect(await page.locator('tbody tr').innerText()).toContain('Planned');
    expect(await wrongWith(page, 'the visits')).toEqual([]);
    await page.getByLabel('State').selectOption('inspected');
    await page.getByText('No visit is like that.').waitFor();
    expect(await wrongWith(page, 'no visit', 'main')).toEqual([]);
    await page.getByLabel('State').selectOption('');
    await page.keyboard.press('Escape');
    await page.evaluate('document.activeElement.blur()');
    await page.keyboard.press('/');
    await page.keyboard.type('nowhere');
    await page.keyboard.press('Enter');
    await page.waitForURL(/find=nowhere/);
    await page.getByText('No visit is like that.').waitFor();
    await page.route('**/v1/visits?**', (route) => route.abort());
    await page.reload();
    await page.getByText('The service does not answer.').waitFor();
    expect(await wrongWith(page, 'no line', 'main')).toEqual([]);
    await page.unrouteAll({ behavior: 'ignoreErrors' });
  });

  it('are planned from a form that keeps what was typed, whatever is wrong with it', async () => {
    await page.goto(deskAddress(desk, '/visits/new'));
    await page.getByLabel('Retailer', { exact: true }).selectOption('pellow');
    await page.getByLabel('Carrier', { exact: true }).selectOption('ZZPF');
    const today = Temporal.Now.plainDateISO('America/New_York').toString();
    const fields = {
      'Order number': 'PS-88001',
      'Placed on': today,
      Currency: 'EUR',
      'Price paid': '1,299.00',
      Tax: '94.18',
      'Delivery fee': '99.00',
      'Street and number': '9 Cooper Lane',
      Town: 'Ashfold',
      Postcode: '43999',
      Country: 'US-OH',
      'Time zone of the place': 'America/New_York',
      From: `${today}T08:00`,
      To: `${today}T12:00`,
      'Serial number of unit 1': 'WRONG-1',
    };
    for (const [label, value] of Object.entries(fields)) await page.getByLabel(label, { exact: true }).fill(value);
    const send = page.getByRole('button', { name: 'Plan the visit' });
    await send.click();
    await page.getByRole('alert').getByText('The model of unit 1 is missing.').waitFor();
    expect(await page.evaluate('document.activeElement.id')).toBe('sku-0');
    await page.getByLabel('Model of unit 1').selectOption('OST-DRIFT-Q-US');
    await page.getByText(/^Packing list: \d+ pieces/).waitFor();
    // What only the service knows comes back at the field that it is about.
    await send.click();
    await page.locator('#currency-wrong').waitFor();
    await page.getByLabel('Currency', { exact: true }).fill('USD');
    await send.click();
    await page.locator('#serial-0-wrong').waitFor();
    expect(await wrongWith(page, 'a plan with a fault')).toEqual([]);
    await page.getByLabel('Serial number of unit 1').fill('DR7K204777');
    await open.clearCookies();
    await send.click();
    await page.getByText('Your session has ended.').waitFor();
    await desk.signIn(open, desk.home.analyst);
    expect(await page.getByLabel('Order number').inputValue()).toBe('PS-88001');
    await send.click();
    await page.getByRole('heading', { name: 'PS-88001' }).waitFor();
    const rows = await desk.data().rows(`select id from visit where order_reference = 'PS-88001'`);
    expect(rows).toHaveLength(1);
  });

  it('let a crew in by a link that is shown once, also as a code, and is renewed and ended', async () => {
    await page.getByLabel('Who is the crew?').fill('Dana and Luis');
    await page.getByRole('button', { name: 'Make a link' }).click();
    await page.locator('#made').waitFor();
    const first = await page.locator('#made').innerText();
    expect(first).toMatch(/\/visit#anl_/);
    // zxing, a reader of another maker, reads what was drawn.
    const { data, info } = await sharp(await page.locator('svg.code').screenshot())
      .greyscale()
      .raw()
      .toBuffer({ resolveWithObject: true });
    const codes = await decodeLabels({ width: info.width, height: info.height, pixels: new Uint8Array(data) });
    expect(codes.map(({ text }) => text)).toEqual([first]);
    expect(await page.locator('[lang=es].secret').innerText()).toContain(first);
    expect(await wrongWith(page, 'a link that was made')).toEqual([]);
    const opens = async (link: string) =>
      (
        await desk.test.app.inject({
          url: '/crew/pack',
          headers: { authorization: `Bearer ${link.replace(/^.*#/, '')}` },
        })
      ).statusCode;
    expect(await opens(first)).toBe(200);
    await page.getByRole('button', { name: 'Renew for Dana and Luis' }).click();
    await expect.poll(() => page.locator('#made').innerText()).not.toBe(first);
    const second = await page.locator('#made').innerText();
    await page.getByText(/^Ended/).waitFor();
    expect([await opens(first), await opens(second)]).toEqual([401, 200]);
    await page.reload();
    await page.getByRole('button', { name: 'End the link of Dana and Luis' }).click();
    await page
      .getByText(/^Ended/)
      .nth(1)
      .waitFor();
    expect(await page.locator('#made').count()).toBe(0);
    expect(await opens(second)).toBe(401);
  });

  it('take a receipt, show what others do without being loaded again, and hide those of another house', async () => {
    await page.getByText('Note what the receipt says').click();
    await page.getByLabel('The receipt is').selectOption('exceptions noted');
    await page
      .getByLabel(/^Handed over/)
      .fill(Temporal.Now.plainDateTimeISO('America/New_York').toString().slice(0, 16));
    await page.getByRole('button', { name: 'Note it' }).click();
    await page.locator('#receipt-words-wrong').waitFor();
    await page.getByLabel('Words on it').fill('Carton dented');
    await page.getByRole('button', { name: 'Note it' }).click();
    await page.locator('#delivery').getByText('Carton dented').first().waitFor();
    const id = new URL(page.url()).pathname.split('/').at(-1) ?? '';
    await page.getByText('Live', { exact: true }).waitFor();
    const made = await desk.client.post(desk.second, `/v1/visits/${id}/links`, { crewName: 'Ines' });
    expect(made.statusCode).toBe(201);
    await page.locator('#links').getByText('Ines', { exact: true }).waitFor();
    await page.goto(deskAddress(desk, '/visits?find=PS-88001'));
    await row('PS-88001').waitFor();
    await page.goto(deskAddress(desk, '/visits/00000000-0000-4000-8000-000000000000'));
    await page.getByText('There is no such visit.').waitFor();
    expect(await wrongWith(page, 'no such visit', 'main')).toEqual([]);
  });
});
