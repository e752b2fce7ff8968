import type { BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Model } from '../../src/catalogue/catalogue.contract.js';
import { browserForFile, noBrowser } from './browser.js';
import { complaintsOf, deskAddress, wrongWith } from './desk-page.js';
import { SERIAL, WebDesk } from './web-desk.js';

const MODEL = '/v1/models/OST-DRIFT-Q-US';

// The catalogue is searched and read by everybody at the desk, and changed by administrators.
describe.skipIf(noBrowser !== undefined)('the catalogue at the desk', () => {
  const context = browserForFile();
  let desk: WebDesk;
  let open: BrowserContext;
  let page: Page;
  let complaints: string[];

  beforeAll(async () => {
    desk = await WebDesk.open();
    await desk.settle();
    await desk.proposed();
    open = await context({ viewport: { width: 1360, height: 900 }, bypassCSP: true });
    await desk.signIn(open, desk.home.analyst);
    page = await open.newPage();
    complaints = complaintsOf(page);
  }, 120_000);
  afterAll(async () => {
    await desk.close();
    expect(complaints).toEqual([]);
  });

  const served = async (): Promise<Model> => (await desk.client.get(desk.home.analyst, MODEL)).json();
  const field = (label: string) => page.getByLabel(label, { exact: true });

  it('leads from a serial number to its model and to its claims', async () => {
    await page.goto(deskAddress(desk, '/catalogue'));
    await page.getByRole('row').nth(1).waitFor();
    expect(await wrongWith(page, 'the catalogue', 'main')).toEqual([]);
    await page.getByLabel('Model, maker, serial or order').fill('no such thing');
    await page.getByRole('button', { name: 'Find' }).press('Enter');
    await page.getByText('No model is like that.', { exact: false }).waitFor();
    await page.getByText('No unit has such a number or order.').waitFor();
    expect(await wrongWith(page, 'nothing found', 'main')).toEqual([]);
    await page.getByLabel('Model, maker, serial or order').fill(SERIAL.slice(2).toLowerCase());
    await page.getByRole('button', { name: 'Find' }).press('Enter');
    await page.getByRole('link', { name: 'OST-DRIFT-Q-US' }).press('Enter');
    await page.getByRole('heading', { level: 1, name: 'Drift queen powered base' }).waitFor();
    // What the sample catalogue has as 61200 minor units of the US dollar (ISO 4217: two digits).
    await page.getByText('612.00 USD').waitFor();
    expect(await page.getByRole('button', { name: 'Change this model' }).count()).toBe(0);
    expect(await wrongWith(page, 'a model', 'main')).toEqual([]);
    await page.getByRole('link', { name: `Claims on ${SERIAL}` }).press('Enter');
    await page.getByText(`Found for “${SERIAL}”:`).waitFor();
    await page.locator('table.queue tbody tr').first().getByText(SERIAL).waitFor();
  });

  it('tells each field what is wrong with it, keeps what was typed, and saves the rest exactly', async () => {
    await desk.signIn(open, desk.home.administrator);
    await page.goto(deskAddress(desk, '/catalogue/models/OST-DRIFT-Q-US'));
    await page.getByRole('button', { name: 'Change this model' }).press('Enter');
    await field('One repair visit (USD)').fill('119.005');
    const motor = page.locator('details').filter({ has: page.locator('summary', { hasText: 'Lift motor, head' }) });
    await motor.locator('summary').press('Enter');
    await motor.getByLabel('Price (USD)').fill('dear');
    await page.getByRole('button', { name: 'Save the model' }).press('Enter');
    await page.getByText('2 fields need another look.').waitFor();
    await expect.poll(() => page.evaluate('document.activeElement.id')).toBe('#/visitCostMinor');
    expect(await field('One repair visit (USD)').getAttribute('aria-invalid')).toBe('true');
    expect(await wrongWith(page, 'a model with faults', 'main')).toEqual([]);
    await page.reload();
    expect(await field('One repair visit (USD)').inputValue()).toBe('119.005');
    await field('One repair visit (USD)').fill('1,119.05');
    await motor.locator('summary').press('Enter');
    await motor.getByLabel('Price (USD)').fill('95');
    await page.getByRole('button', { name: 'Save the model' }).press('Enter');
    await page.getByText('1,119.05 USD').waitFor();
    const now = await served();
    expect([now.visitCostMinor, now.parts.find(({ number }) => number === 'DR-400')?.priceMinor]).toEqual([
      111_905, 9500,
    ]);
  });

  it('keeps what was typed when somebody else has changed the model, and when nothing answers', async () => {
    await page.getByRole('button', { name: 'Change this model' }).click();
    await field('Maker').fill('Ostrelle Sleep Works');
    await page.route('**/v1/models/**', (route) => route.abort());
    await page.getByRole('button', { name: 'Save the model' }).click();
    await page.getByText('The service does not answer.').waitFor();
    await page.unrouteAll();
    const other = { ...(await served()), title: 'Drift queen, renamed' };
    expect((await desk.client.put(desk.home.administrator, MODEL, other, '"v2"')).statusCode).toBe(200);
    // The page hears of it by itself.
    await page.getByText('Somebody else changed this model meanwhile.').waitFor();
    await page.getByText('These differ between what is there now and what you have: name, maker.').waitFor();
    expect(await wrongWith(page, 'two people', '.note')).toEqual([]);
    await page.getByRole('button', { name: 'Take theirs, give mine up' }).click();
    expect(await field('Maker').inputValue()).toBe('Ostrelle Sleepworks');
    expect(await field('Name').inputValue()).toBe('Drift queen, renamed');
    await page.getByRole('button', { name: 'Close' }).click();
  });

  it('takes a new model with a part, and says when its code is taken', async () => {
    await page.goto(deskAddress(desk, '/catalogue/new'));
    await page.getByRole('button', { name: 'Add the model' }).click();
    await page.getByText('10 fields need another look.').waitFor();
    expect(await wrongWith(page, 'a new model', 'main')).toEqual([]);
    const typed = {
      Code: 'OST-DRIFT-Q-US',
      Name: 'Recliner',
      Maker: 'Ostrelle Sleepworks',
      'Packed carton (kg)': '52.25',
      'Unit alone (kg)': '47',
      'Code of the checklist': 'bed-base',
      'Code of the evidence model': 'bed-base',
      Currency: 'JPY',
      'Replacement unit (JPY)': '88,000',
      'Freight both ways (JPY)': '9000',
      'One repair visit (JPY)': '12000',
    };
    for (const [label, text] of Object.entries(typed)) await field(label).fill(text);
    await page.getByRole('button', { name: 'Add a part' }).click();
    await field('Part number').fill('RE-1');
    await field('Name of the part').fill('Frame');
    await field('Price (JPY)').fill('21000');
    await field('Mass (kg)').fill('31');
    await page.getByRole('button', { name: 'Add the model' }).click();
    await page.getByText('The catalogue has a model OST-DRIFT-Q-US already.', { exact: false }).waitFor();
    await field('Code').fill('RECLINER-JP');
    await page.getByRole('button', { name: 'Add the model' }).click();
    await page.getByRole('heading', { level: 1, name: 'Recliner' }).waitFor();
    await page.getByText('88,000 JPY').waitFor();
    const added = (await desk.client.get(desk.home.analyst, '/v1/models/RECLINER-JP')).json<Model>();
    expect(added).toMatchObject({ unitCostMinor: 88_000, grossGrams: 52_250, parts: [{ priceMinor: 21_000 }] });
  });
});
