import type { BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { decidedBentFrame, recoveryOn } from '../support/recoveries.js';
import { browserForFile, noBrowser } from './browser.js';
import { complaintsOf, deskAddress, wrongWith } from './desk-page.js';
import { WebDesk } from './web-desk.js';

// From a decided claim to the money that comes back from the carrier, and the lists of what is owed and due.
describe.skipIf(noBrowser !== undefined)('recoveries at the desk', () => {
  const context = browserForFile();
  let desk: WebDesk;
  let claim: string;
  let earlier: string;
  let open: BrowserContext;
  let page: Page;
  let complaints: string[];

  beforeAll(async () => {
    desk = await WebDesk.open();
    await desk.settle();
    earlier = (await desk.proposed()).id;
    claim = await decidedBentFrame(desk);
    open = await context({ viewport: { width: 1360, height: 900 }, bypassCSP: true });
    await desk.signIn(open, desk.home.analyst);
    page = await open.newPage();
    complaints = complaintsOf(page);
  }, 120_000);
  afterAll(async () => {
    await desk.close();
    expect(complaints).toEqual([]);
  });
  beforeEach(() => page.unrouteAll());

  it('shows nothing wrong to axe-core while nothing is owed', async () => {
    await page.goto(deskAddress(desk, '/recoveries/statements'));
    await page.getByText('Nothing is owed.').waitFor();
    expect(await wrongWith(page, 'an empty statement')).toEqual([]);
    await page.goto(deskAddress(desk, '/recoveries?party=crew'));
    await page.getByText('No recovery is like that.').waitFor();
    expect(await wrongWith(page, 'no recovery', 'main')).toEqual([]);
  });

  it('lead from the case to the demand, and tell of other claims on the unit', async () => {
    await page.goto(deskAddress(desk, `/claims/${claim}`));
    const others = page.locator('#earlier').getByRole('row');
    await others.nth(1).waitFor();
    expect(await others.nth(1).getByRole('link').getAttribute('href')).toContain(earlier);
    await page.locator('#recoveries').getByRole('link', { name: 'Carrier', exact: true }).click();
    await page.getByRole('heading', { name: 'What is demanded' }).waitFor();
    expect(await wrongWith(page, 'a recovery')).toEqual([]);
    const pdf = await page.request.get(
      desk.address + ((await page.getByRole('link', { name: 'Papers as PDF' }).getAttribute('href')) ?? ''),
    );
    expect([pdf.status(), pdf.headers()['content-type']]).toEqual([200, 'application/pdf']);
    expect((await pdf.body()).subarray(0, 5).toString()).toBe('%PDF-');
  });

  it('go from open over an offer to paid; what is refused keeps what was typed', async () => {
    const { id, demandedMinor } = await recoveryOn(desk, claim, 'carrier');
    await page.goto(deskAddress(desk, `/recoveries/${id}`));
    const act = (title: string) => page.locator('details.act').filter({ has: page.getByText(title, { exact: true }) });
    const sending = act('Send the demand');
    await sending.getByRole('button', { name: 'It is sent' }).click();
    await page.locator('.head').getByText('Sent').waitFor();
    const offers = act('They made an offer');
    await offers.getByText('They made an offer').click();
    await offers.getByLabel('Offered (USD)').fill('ten dollars');
    await offers.getByRole('button', { name: 'Note the offer' }).click();
    await offers.getByRole('alert').getByText('This is not an amount in USD.', { exact: false }).first().waitFor();
    expect(await offers.getByLabel('Offered (USD)').inputValue()).toBe('ten dollars');
    expect(await wrongWith(page, 'an offer that is none', '#acts')).toEqual([]);
    await offers.getByLabel('Offered (USD)').fill('100.00');
    await offers.getByRole('button', { name: 'Note the offer' }).click();
    const payments = act('Money came in');
    await page.locator('.head').getByText('Offered').waitFor();
    expect(await recoveryOn(desk, claim, 'carrier')).toMatchObject({ state: 'offered' });
    if ((await payments.getAttribute('open')) === null) await payments.getByText('Money came in').click();
    await payments.getByLabel('Received (USD)').fill(String(demandedMinor / 100));
    await payments.getByLabel('Reference of the bank').fill('PAY-4411');
    await payments.getByRole('button', { name: 'Book the payment' }).click();
    await page.locator('.head').getByText('Paid').waitFor();
    expect(await recoveryOn(desk, claim, 'carrier')).toMatchObject({
      state: 'paid',
      paidMinor: demandedMinor,
      outstandingMinor: 0,
    });
  });

  it('show nothing wrong to axe-core in their lists, whatever state they are in', async () => {
    await page.goto(deskAddress(desk, '/recoveries'));
    await page.locator('tbody tr').first().waitFor();
    expect(await wrongWith(page, 'recoveries', 'main')).toEqual([]);
    await page.goto(deskAddress(desk, '/due?within=366'));
    await page.locator('tbody tr').first().waitFor();
    expect(await wrongWith(page, 'what is due', 'main')).toEqual([]);
    await page.route('**/v1/due**', () => undefined);
    await page.reload();
    await page.getByText('Fetching what is due…').waitFor();
    expect(await wrongWith(page, 'fetching', 'main')).toEqual([]);
    await page.unrouteAll();
    await page.route('**/v1/due**', (route) =>
      route.fulfill({ status: 403, json: { title: 'Not allowed.', detail: 'Ask your administrator.' } }),
    );
    await page.reload();
    await page.getByText('Ask your administrator.').waitFor();
    expect(await wrongWith(page, 'failing', 'main')).toEqual([]);
  });
});
