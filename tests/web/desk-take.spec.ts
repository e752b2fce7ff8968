import type { BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Hand } from '../support/resources.js';
import { browserForFile, noBrowser } from './browser.js';
import { complaintsOf, deskAddress, wrongWith } from './desk-page.js';
import { WebDesk } from './web-desk.js';

describe.skipIf(noBrowser !== undefined)('taking claims at the desk, by keys alone', () => {
  const context = browserForFile();
  let desk: WebDesk;
  /** Two analysts, each at a screen of their own. */
  let ours: Page;
  let theirs: Page;
  const complaints: string[][] = [];

  const openFor = async (who: Hand): Promise<Page> => {
    const own: BrowserContext = await context({ viewport: { width: 1360, height: 900 }, bypassCSP: true });
    await desk.signIn(own, who);
    const page = await own.newPage();
    complaints.push(complaintsOf(page));
    await page.goto(deskAddress(desk, '/'));
    await page.locator('tbody tr').nth(1).waitFor();
    await page.getByText('Live', { exact: true }).waitFor();
    return page;
  };
  const nameOf = async (who: Hand): Promise<string> =>
    (await desk.client.get(who, '/desk-data/me')).json<{ name: string }>().name;
  const row = (page: Page, n = 0) => page.locator('tbody tr').nth(n);
  const says = (page: Page, text: string) => page.getByText(text, { exact: true }).first().waitFor();

  beforeAll(async () => {
    desk = await WebDesk.open();
    await desk.settle();
    await desk.proposed();
    await desk.proposed({ visitId: await desk.delivered() }, desk.home.retailerPerson);
    await desk.data().rows(`update person set name = 'Ada Merrow' where id = $1`, [desk.home.analyst.id]);
    await desk.data().rows(`update person set name = 'Bo Lindqvist' where id = $1`, [desk.second.id]);
    expect([await nameOf(desk.home.analyst), await nameOf(desk.second)]).toEqual(['Ada Merrow', 'Bo Lindqvist']);
    ours = await openFor(desk.home.analyst);
    theirs = await openFor(desk.second);
  }, 120_000);
  afterAll(async () => {
    await desk.close();
    expect(complaints).toEqual([[], []]);
  });

  it('shows both who has one without reloading, and asks before it is taken over', async () => {
    await ours.keyboard.press('t');
    await says(ours, '1 claim taken.');
    await row(ours).getByText('You have it').waitFor();
    await row(theirs).getByText('Ada Merrow has it').waitFor();
    expect(await wrongWith(theirs, 'a queue with a taken claim')).toEqual([]);
    await theirs.keyboard.press('t');
    const asks = theirs.getByRole('dialog', { name: 'Take it over?' });
    await asks.getByText('Ada Merrow has').waitFor();
    expect(await wrongWith(theirs, 'the question', 'dialog[open]')).toEqual([]);
    await theirs.keyboard.press('Escape');
    await asks.waitFor({ state: 'hidden' });
    await row(ours).getByText('You have it').waitFor();
  });

  it('has those of one’s own in a view by themselves, through which the case leads', async () => {
    await ours.keyboard.press('g');
    await ours.keyboard.press('m');
    await ours.waitForURL(/view=mine/);
    await expect.poll(() => ours.locator('tbody tr').count()).toBe(1);
    const view = ours.getByRole('navigation', { name: 'Views of the queue' }).locator('[aria-current=page]');
    expect(await view.innerText()).toMatch(/^My cases\s*1$/);
    expect(await wrongWith(ours, 'my cases')).toEqual([]);
    await ours.keyboard.press('Enter');
    await ours.waitForURL(/claims/);
    await says(ours, 'You have it');
    await says(ours, '1 of 1');
    await ours.keyboard.press('t');
    await says(ours, 'Nobody has it');
    await row(theirs).getByText('Ada Merrow has it').waitFor({ state: 'detached' });
    await ours.keyboard.press('t');
    await says(ours, 'You have it');
    await row(theirs).getByText('Ada Merrow has it').waitFor();
  });

  it('is told of by an open case when somebody takes it over, and one key does not take it back', async () => {
    await theirs.keyboard.press('t');
    const asks = theirs.getByRole('dialog', { name: 'Take it over?' });
    await asks.waitFor();
    await asks.getByRole('button', { name: 'Take it over' }).press('Enter');
    await row(theirs).getByText('You have it').waitFor();
    await says(ours, 'Bo Lindqvist has it');
    await ours.locator('.news').getByText('Claim taken by Bo Lindqvist').waitFor();
    await ours.getByText('Over from Ada Merrow').waitFor();
    expect(await wrongWith(ours, 'a case that somebody else has', '.casehead')).toEqual([]);
    await ours.keyboard.press('t');
    await ours.locator(':focus', { hasText: 'Take over from Bo Lindqvist' }).waitFor();
    await says(ours, 'Bo Lindqvist has it');
    await ours.keyboard.press('Enter');
    await says(ours, 'You have it');
    await row(theirs).getByText('Ada Merrow has it').waitFor();
  });

  it('works on the picked ones: takes what is free, or all of it, and puts them back', async () => {
    for (const key of ['x', 'j', 'x', 't']) await theirs.keyboard.press(key);
    await theirs.getByRole('button', { name: 'Take only the 1 that nobody has' }).press('Enter');
    await row(theirs, 1).getByText('You have it').waitFor();
    await row(theirs).getByText('Ada Merrow has it').waitFor();
    await theirs.keyboard.press('t');
    await theirs.getByRole('button', { name: 'Take it over' }).press('Enter');
    await row(theirs).getByText('You have it').waitFor();
    expect(await wrongWith(theirs, 'picked claims of one’s own', 'main')).toEqual([]);
    await theirs.getByRole('button', { name: 'Put them back' }).waitFor();
    await theirs.keyboard.press('t');
    await says(theirs, '2 claims put back.');
    await expect.poll(() => theirs.locator('tbody').getByText('You have it').count()).toBe(0);
  });

  it('says who was there first, when two press the key at the same moment', async () => {
    await theirs.getByRole('button', { name: 'Let them go' }).press('Enter');
    // Their request is held back until ours has the claim: that is what happens when both press it at once.
    await theirs.route('**/taker', async (route) => {
      await desk.client.put(desk.home.analyst, new URL(route.request().url()).pathname, {});
      await route.continue();
    });
    await theirs.keyboard.press('t');
    await theirs
      .getByRole('alert')
      .getByText(/^Ada Merrow has this claim\./)
      .waitFor();
    await theirs.getByText('Ada Merrow has it').waitFor();
    expect(await wrongWith(theirs, 'somebody was first', 'main')).toEqual([]);
  });

  it('leaves the case to say where a unit that is taken back goes, once the retailer has said so', async () => {
    const remedy = ours.locator('#remedies');
    await remedy.getByText('has not said where goods go back to').waitFor();
    const places = ours.getByRole('navigation', { name: 'Parts of the case' });
    expect(await places.getByRole('link', { name: 'Phones' }).count()).toBe(0);
    await desk.data().rows(
      `insert into retailer_address (tenant_id, retailer_id, kind, lines, changed_by, changed_at)
       values ($1, $2, 'goods', $3, 'person:x', now())`,
      [desk.home.tenant, desk.home.retailer, '12 Quay Street\nTruro'],
    );
    await ours.reload();
    await remedy.getByText('12 Quay Street, Truro').waitFor();
    expect(await wrongWith(ours, 'where it goes back to', '#remedies')).toEqual([]);
  });
});
