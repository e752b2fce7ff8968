import { randomUUID } from 'node:crypto';
import type { BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { browserForFile, noBrowser } from './browser.js';
import { complaintsOf, deskAddress, wrongWith } from './desk-page.js';
import { SERIAL, WebDesk } from './web-desk.js';

// Phones that hold what the office does not have, and two that do not agree.
describe.skipIf(noBrowser !== undefined)('phones at the desk', () => {
  const context = browserForFile();
  const [one, other] = [randomUUID(), randomUUID()];
  let desk: WebDesk;
  let open: BrowserContext;
  let page: Page;
  let complaints: string[];
  let inspection: string;
  let claim: string;

  /** Brings facts from a phone, whose clock may be off. */
  async function bring(
    phone: string,
    facts: readonly { n: number; kind: string; body: object; at?: string }[],
    minutesOff = 0,
  ) {
    const now = desk.test.clock.now().add({ minutes: minutesOff }).toString();
    const sent = facts.map((fact) => ({ id: randomUUID(), at: now, inspection, ...fact }));
    const payload = { phone, sentAt: now, countedTo: Math.max(0, ...facts.map(({ n }) => n)), facts: sent };
    const url = `/v1/visits/${desk.visit}/facts`;
    const answered = await desk.client.send(desk.crew, { method: 'POST', url, payload });
    expect(answered.statusCode, answered.body).toBe(200);
  }
  const says = (n: number, value: unknown) => ({ n, kind: 'answer', body: { item: 'packaging-kept', value } });
  const holds = (n: number) => ({
    n,
    kind: 'photo',
    body: { photo: randomUUID(), item: 'missing-search', shows: 'close', sha256: 'f'.repeat(64) },
  });

  beforeAll(async () => {
    desk = await WebDesk.open();
    await desk.settleNow();
    inspection = await desk.inspected(2);
    // Two hours behind, and ten minutes before the other one.
    const at = desk.test.clock.now().subtract({ minutes: 130 }).toString();
    await bring(one, [{ ...says(1, 'no'), at }], -120);
    await bring(other, [says(1, 'yes'), holds(2), holds(4)]);
    claim = randomUUID();
    const payload = { visitId: desk.visit, serial: SERIAL, inspectionId: inspection, ground: 'shortage' };
    await desk.client.send(desk.crew, { method: 'PUT', url: `/v1/claims/${claim}`, payload });
    await desk.assess();
    open = await context({
      viewport: { width: 1440, height: 900 },
      bypassCSP: true,
      permissions: ['clipboard-read', 'clipboard-write'],
    });
    await desk.signIn(open, desk.home.analyst);
    page = await open.newPage();
    complaints = complaintsOf(page);
  }, 120_000);
  afterAll(async () => {
    await desk.close();
    expect(complaints).toEqual([]);
  });

  it('stand in a list with what exactly is missing, counted at the door, and the crew is written to', async () => {
    await page.goto(deskAddress(desk, '/'));
    await page.getByRole('navigation').getByText('1 owe something').waitFor();
    await page.keyboard.press('g');
    await page.keyboard.press('h');
    await page.getByRole('heading', { name: 'Phones that owe' }).waitFor();
    await page.getByText('Owes 2 photos and 1 note').waitFor();
    await page.getByText('What exactly is missing').click();
    await page.getByText('1 note never came (number 3)').waitFor();
    expect(await page.getByRole('cell', { name: 'close' }).count()).toBe(2);
    await page.getByText('Write to the crew').click();
    await page.getByRole('button', { name: /Make a new link/ }).click();
    await page.getByRole('button', { name: 'Copy the message, English' }).click();
    await page.getByText('Copied.').waitFor();
    const message = await page.evaluate<string>('navigator.clipboard.readText()');
    expect(message).toContain('your phone still holds 2 photos and 1 note');
    const secret = /#(anl_[\w-]+)$/.exec(message)?.[1] ?? '';
    const opened = await desk.test.app.inject({ url: '/v1/me', headers: { authorization: `Bearer ${secret}` } });
    expect(opened.json()).toMatchObject({ kind: 'link', visit: desk.visit });
    expect(await wrongWith(page, 'phones that owe')).toEqual([]);
  });

  it('that disagree are shown with who and when, by both clocks, and an analyst settles it', async () => {
    await page.goto(deskAddress(desk, `/claims/${claim}`));
    const part = page.locator('#phones');
    await page.getByRole('navigation', { name: 'Parts of the case' }).getByRole('link', { name: 'Phones' }).click();
    await part.getByText('Two phones disagree').waitFor();
    await page.locator('#answers').getByText('Two phones disagree').waitFor();
    await part.getByText(/by our clock, .* by the phone’s own/).waitFor();
    await part.getByText('ran 2 hours behind').waitFor();
    // The answer that counts came from the phone whose clock is right.
    expect(await page.locator('#answers').getByText('own clock').count()).toBe(0);
    await part.getByText('Waits for 2 photos and 1 note on the phone of').waitFor();
    await part.getByLabel('No', { exact: true }).check();
    await part.getByLabel('Why').fill('The hallway on the photo is empty.');
    await page.evaluate('scrollTo(0, 0)');
    expect(await wrongWith(page, 'phones of a case', '#phones')).toEqual([]);
    await page.route('**/settled-answers', (route) => route.abort());
    await part.getByRole('button', { name: 'Settle it' }).click();
    await part.getByText('The service does not answer.').waitFor();
    expect(await part.getByLabel('Why').inputValue()).toBe('The hallway on the photo is empty.');
    await page.unrouteAll();
    await part.getByRole('button', { name: 'Settle it' }).click();
    await part.getByText('What counts:').waitFor();
    await page.locator('#answers').getByText('Settled: No').waitFor();
    await page.locator('#trail').getByText('Answer settled').waitFor();
    expect((await desk.read(claim)).state).toBe('filed');
    await desk.assess();
  });

  it('that are lost are waited for no longer, and the case says what is gone; a phone that is heard again is not lost', async () => {
    await page.goto(deskAddress(desk, '/phones'));
    await page.getByText('It is lost', { exact: true }).click();
    await page.getByLabel('How it was lost, and who said so').fill('stolen');
    await page.getByRole('button', { name: 'The phone is lost' }).click();
    await page.getByRole('alert').waitFor();
    expect(await page.getByLabel('How it was lost, and who said so').inputValue()).toBe('stolen');
    expect(await wrongWith(page, 'a loss that is refused', 'main')).toEqual([]);
    await page.getByLabel('How it was lost, and who said so').fill('Stolen from the van; Ada rang the depot.');
    await page.getByRole('button', { name: 'The phone is lost' }).click();
    await page.getByText('Every phone has sent everything.').waitFor();
    expect(await wrongWith(page, 'no phone that owes', 'main')).toEqual([]);
    await page.getByLabel('Show').selectOption('lost');
    await page.getByText('Lost with 2 photos and 1 note').waitFor();
    await page.getByRole('link', { name: /^\d{3} \d{3} \d{3}$/ }).click();
    await page.locator('#phones').getByText('2 photos and 1 note lost with the phone of').waitFor();
    await page.locator('#trail').getByText('Phone lost').waitFor();
    // The page hears of it by itself.
    desk.test.clock.moveTo(desk.test.clock.now().add({ minutes: 1 }));
    await bring(other, [says(3, 'yes')]);
    await page.locator('#phones').getByText('Waits for 2 photos on the phone of').waitFor();
  });

  it('that bring something after the decision, or after the inspection had ended, are told of at the case', async () => {
    await desk.assess();
    const why = { reason: 'goodwill', words: 'Nothing of it was ever found.' };
    await desk.acts(claim, [desk.home.analyst, 'decisions', { outcome: 'declined', ...why }]);
    desk.test.clock.moveTo(desk.test.clock.now().add({ minutes: 1 }));
    await bring(other, [{ n: 5, kind: 'complete', body: { reason: 'The customer had to leave.' } }, says(6, 'no')]);
    await page.goto(deskAddress(desk, `/claims/${claim}`));
    const part = page.locator('#phones');
    await part.getByText('1 note from phones came after it was decided.').waitFor();
    await part.getByText('1 note came too late or could not be done').click();
    await part.getByText('Are carton and packing kept?: No').waitFor();
    // The bar of places stays at the top and would lie over part of what is looked at.
    await page.evaluate('scrollTo(0, 0)');
    expect(await wrongWith(page, 'what came late', '#phones')).toEqual([]);
  });
});
