import type { BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Jobs } from '../../src/platform/jobs/jobs.js';
import { company, house, stock, type House } from '../support/resources.js';
import { PASSWORD, person } from '../support/tenants.js';
import { browserForFile, noBrowser } from './browser.js';
import { CrewPhone, PHONE } from './crew-phone.js';
import { phonePhoto, WebDesk } from './web-desk.js';

// One claim from the planning of the visit to the money, each person in a browser of their own, in the order of the work.
describe.skipIf(noBrowser !== undefined)('a claim from the door to the money', () => {
  const context = browserForFile();
  let desk: WebDesk;
  let home: House;
  let link: string;
  let caseAddress: string;
  let number: string;
  const people = new Map<string, string>();

  beforeAll(async () => {
    desk = await WebDesk.open(Temporal.Now.instant());
    home = await house(desk.data());
    await stock(desk.test, home);
    const other = await company(desk.data(), home.tenant, 'retailer', 'other');
    for (const [name, retailer] of [
      ['first', undefined],
      ['second', undefined],
      ['retailer', home.retailer],
      ['other retailer', other],
    ] as const) {
      const roles = retailer === undefined ? (['analyst'] as const) : (['retailer'] as const);
      people.set(name, (await person(desk.data(), home.tenant, roles, retailer)).email);
    }
  });
  afterAll(() => desk.close());

  /** Signs in by the page. */
  async function signIn(who: string, in_: BrowserContext): Promise<Page> {
    const page = await in_.newPage();
    await page.goto(`${desk.address}/sign-in`);
    await page.getByLabel('E-mail address').fill(people.get(who) ?? '');
    await page.getByLabel('Password').fill(PASSWORD);
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.waitForURL((url) => url.pathname !== '/sign-in');
    return page;
  }

  async function workOff(): Promise<void> {
    await desk.test.app.get(Jobs).workOff();
  }

  it('the desk plans a visit and makes a link that is shown once', async () => {
    const page = await signIn('first', await context());
    expect(new URL(page.url()).pathname).toBe('/desk');
    await page.getByRole('link', { name: 'Visits' }).click();
    await page.getByRole('link', { name: 'Plan a visit' }).click();
    await page.getByLabel('Retailer', { exact: true }).waitFor();
    const today = desk.test.clock.now().toZonedDateTimeISO('America/New_York').toPlainDate().toString();
    await page.getByLabel('Retailer', { exact: true }).selectOption('pellow');
    await page.getByLabel('Carrier', { exact: true }).selectOption('ZZPF');
    const fields = {
      'Order number': 'PS-77120',
      'Placed on': today,
      Currency: 'USD',
      'Price paid': '1,299.00',
      Tax: '94.18',
      'Delivery fee': '99.00',
      'Street and number': '418 Larkfield Row',
      Town: 'Mill Hollow, Ohio',
      Postcode: '43999',
      Country: 'US-OH',
      From: `${today}T08:00`,
      'People in the crew': '2',
      'Serial number of unit 1': 'DR7K204518',
    };
    for (const [label, value] of Object.entries(fields)) await page.getByLabel(label, { exact: true }).fill(value);
    await page.getByLabel('Time zone of the place').fill('America/New_York');
    await page.getByLabel('Model of unit 1').selectOption('OST-DRIFT-Q-US');
    // The end is forgotten at first: the form says so, with everything else still in it.
    await page.getByRole('button', { name: 'Plan the visit' }).click();
    expect(await page.getByRole('alert').innerText()).toContain('The end of the window is missing');
    expect(await page.getByLabel('Order number').inputValue()).toBe('PS-77120');
    await page.getByLabel('To', { exact: true }).fill(`${today}T12:00`);
    await page.getByRole('button', { name: 'Plan the visit' }).click();
    await page.getByLabel('Who is the crew?').fill('Dana and Luis');
    await page.getByRole('button', { name: 'Make a link' }).click();
    link = await page.locator('#made').innerText();
    expect(link).toMatch(/\/visit#anl_/);
    await page.reload();
    await page.getByText(/^Works until/).waitFor();
    expect(await page.locator('#made').count()).toBe(0);
  });

  it('the crew opens the link, stops where it must, takes a photo, and gets a number to read out', async () => {
    const phone = new CrewPhone(link, await (await context(PHONE)).newPage());
    await phone.open();
    expect(phone.page.url()).not.toContain('anl_');
    await phone.page.getByLabel('Signed, with the damage noted').check();
    await phone.page.getByLabel('The words on it, as written').fill('Carton dented at the head end, rail bent');
    await phone.tap('Keep the receipt');
    // The phone's clock has gone on, the service's stands: what is filed must not lie before the delivery.
    desk.test.clock.moveTo(Temporal.Now.instant());
    await phone.begin();
    await phone.number('1');
    await phone.seeToStop();
    await phone.tap('Delivered today, not used yet');
    await phone.at('carton-faces');
    await phone.photo('wide', { name: 'a.jpg', mimeType: 'image/jpeg', buffer: await phonePhoto(1) });
    await phone.jump('frame-damage');
    await phone.page.getByLabel('A tube, rail or plate is bent').check();
    await phone.tap('Keep and go on');
    await phone.page.getByRole('link', { name: 'Check and send' }).click();
    await phone.page.getByLabel('Damage that was found after opening').check();
    await phone.page.getByLabel('What would the customer like?').selectOption('part');
    await phone.page.getByLabel('In your own words').fill('The side rail is bent inwards.');
    await phone.page.locator('#reason').fill('The customer has to leave.');
    await phone.tap('Send the claim');
    await phone.page.getByRole('heading', { name: 'The claim is sent' }).waitFor();
    await phone.allSent();
    number = (await phone.page.locator('.said-number').innerText()).replaceAll(/\s+/g, ' ').trim();
    expect(number).toMatch(/^\d{3} \d{3} \d{3}$/);
  });

  it('an analyst reads the case and departs from the proposal; the sum waits for a second person', async () => {
    // Work that waits for other work is begun once that is done.
    await expect
      .poll(
        async () => {
          await workOff();
          return desk
            .data()
            .rows('select c.state, q.asked from claim c left join information_request q on q.claim_id = c.id');
        },
        { timeout: 20_000 },
      )
      .toEqual([{ state: 'proposed', asked: null }]);
    const page = await signIn('first', await context());
    await page.getByRole('link', { name: number }).click();
    await page.getByRole('heading', { name: 'What is broken, and why' }).waitFor();
    caseAddress = page.url();
    // The one photo lies on the table; below it stands its card.
    expect(await page.locator('#photos .pane img').count()).toBe(1);
    expect(await page.getByText('Chain is whole').count()).toBe(1);
    await page.locator('#other-remedy > summary').click();
    const act = page.locator('#other-remedy');
    await act.getByLabel('Refund').check();
    await act.getByLabel(/Money to the customer/).fill('1,299.00');
    await act.getByLabel('In a sentence').fill('The rail cannot be straightened; the customer wants the money.');
    await act.getByText('Words to the retailer').click();
    await act.getByLabel('In English').fill('We are sorry about the rail. The refund goes to the customer’s card.');
    await act.getByText(/(more|less) than the policy says\.|As the policy says\./).waitFor();
    await act.getByRole('button').click();
    expect(await page.locator('#other-remedy [role=alert]').innerText()).toMatch(/reason/i);
    expect(await act.getByLabel(/Money to the customer/).inputValue()).toBe('1,299.00');
    await page.locator('#other-remedy').getByLabel('Reason').selectOption('proposal is wrong');
    await page.locator('#other-remedy').getByRole('button').click();
    await page.getByText('You made this decision.').waitFor();
  });

  it('a second person confirms, and the claim is settled and closed', async () => {
    const page = await signIn('second', await context());
    await page.getByRole('link', { name: /Second person/ }).click();
    await page.getByRole('link', { name: number }).click();
    await page.locator('#confirm').getByRole('button').click();
    await page.locator('#order').getByRole('button').click();
    await page.locator('#settle').getByLabel('Reference of the payment or shipment').fill('PAY-1');
    await page.locator('#settle').getByRole('button').click();
    await page.locator('#close').getByRole('button').click();
    await page.getByText('Closed', { exact: true }).first().waitFor();
    expect(await page.locator('#decisions').innerText()).toMatch(/confirmed by/);
  });

  it('the retailer sees its claim with the amount, and asks for another look; another retailer sees nothing', async () => {
    const page = await signIn('retailer', await context());
    await page.getByRole('link', { name: number }).click();
    expect(await page.locator('#decision').innerText()).toContain('1,299.00 USD');
    await page.getByText('We are sorry about the rail.').waitFor();
    await page.getByText('Something was missed, or is new').click();
    await page.getByLabel('What should be looked at again').fill('The delivery fee was not paid back.');
    await page.getByRole('button', { name: 'Ask for another look' }).click();
    await page.getByText('The claim is open again.').waitFor();
    const address = new URL(page.url()).pathname;
    const stranger = await signIn('other retailer', await context());
    expect(await stranger.getByText('There is no claim on your deliveries.').count()).toBe(1);
    expect((await stranger.goto(`${desk.address}${address}`))?.status()).toBe(404);
    expect((await stranger.goto(caseAddress))?.status()).toBe(403);
  });
});
