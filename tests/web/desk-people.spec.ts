import type { BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { browserForFile, noBrowser } from './browser.js';
import { complaintsOf, deskAddress, wrongWith } from './desk-page.js';
import { WebDesk } from './web-desk.js';

// An administrator's day: people, keys for programs, and the trail that tells of it all.
describe.skipIf(noBrowser !== undefined)('people, keys and the trail at the desk', () => {
  const context = browserForFile();
  let desk: WebDesk;
  let open: BrowserContext;
  let page: Page;
  let complaints: string[];

  beforeAll(async () => {
    desk = await WebDesk.open();
    await desk.settle();
    await desk.proposed();
    open = await context({
      viewport: { width: 1440, height: 900 },
      bypassCSP: true,
      permissions: ['clipboard-read', 'clipboard-write'],
    });
    await desk.signIn(open, desk.home.administrator);
    page = await open.newPage();
    complaints = complaintsOf(page);
  }, 120_000);
  afterAll(async () => {
    await desk.close();
    expect(complaints).toEqual([]);
  });

  const signIn = async (password: string): Promise<number> =>
    (await desk.form(undefined, '/sign-in', { email: 'mara@example.test', password })).statusCode;
  const rowOf = (name: string) => page.locator('tr').filter({ has: page.getByText(name) });

  it('adds a person, keeps what was typed where that is refused, and the person signs in', async () => {
    await page.goto(deskAddress(desk, '/people'));
    await page.getByRole('heading', { name: 'People and keys' }).waitFor();
    expect(await page.title()).toContain('People and keys');
    await rowOf('(you)').waitFor();
    await page.getByText('No program has a key yet.').waitFor();
    await page.getByText('Add a person').click();
    await page.getByLabel('Name', { exact: true }).fill('Mara Quist');
    await page.getByLabel('E-mail address').fill('mara@example.test');
    await page.getByLabel('First password').fill('too short');
    await page.getByLabel('Analyst').check();
    await page.getByRole('button', { name: 'Add the person' }).click();
    await page.locator('#people').getByRole('alert').waitFor();
    expect(await page.getByLabel('E-mail address').inputValue()).toBe('mara@example.test');
    expect(await wrongWith(page, 'a person who is refused')).toEqual([]);
    await page.getByLabel('First password').fill('seven slow boats at night');
    await page.getByRole('button', { name: 'Add the person' }).click();
    await page.getByText('Mara Quist is added and can sign in.').waitFor();
    await rowOf('Mara Quist').waitFor();
    expect(await signIn('seven slow boats at night')).toBe(303);
  });

  it('changes roles, gives a new password, shuts out and lets in', async () => {
    const change = async (): Promise<void> => rowOf('Mara Quist').getByRole('button', { name: 'Change' }).click();
    const dialog = page.getByRole('dialog', { name: 'Mara Quist' });
    await change();
    await dialog.getByLabel('Policy owner').check();
    expect(await wrongWith(page, 'a person', 'dialog')).toEqual([]);
    await dialog.getByRole('button', { name: 'Save name and roles' }).click();
    await rowOf('Mara Quist').getByText('Analyst, policy owner').waitFor();
    await change();
    await dialog.getByLabel('A new first password').fill('eight slow boats at night');
    await dialog.getByRole('button', { name: 'Give the new password' }).click();
    await page.getByText('Mara Quist has a new password').waitFor();
    expect([await signIn('seven slow boats at night'), await signIn('eight slow boats at night')]).toEqual([401, 303]);
    await change();
    await dialog.getByRole('button', { name: 'Shut Mara Quist out' }).click();
    await rowOf('Mara Quist').getByText('Shut out', { exact: true }).waitFor();
    expect(await signIn('eight slow boats at night')).toBe(401);
    await change();
    await dialog.getByRole('button', { name: 'Let Mara Quist in' }).click();
    await rowOf('Mara Quist').getByText('Can sign in').waitFor();
    await rowOf('(you)').getByRole('button', { name: 'Change' }).click();
    await page.getByText('nobody takes their own way in').waitFor();
    expect(await page.getByRole('dialog').getByRole('button', { name: /Shut/ }).count()).toBe(0);
    await page.keyboard.press('Escape');
  });

  it('makes a key that is shown once and copied, replaces it while the old one goes on, and ends that', async () => {
    const reads = async (secret: string): Promise<number> =>
      (await desk.test.app.inject({ url: '/v1/claims', headers: { authorization: `Bearer ${secret}` } })).statusCode;
    await page.getByText('Make a key', { exact: true }).click();
    await page.getByLabel('What it is for').fill('till');
    await page.getByRole('button', { name: 'Make the key' }).click();
    await page.locator('#keys').getByText('Tick at least one thing').first().waitFor();
    expect(await page.getByLabel('What it is for').inputValue()).toBe('till');
    await page.getByLabel('read claims and what is due').check();
    await page.getByRole('button', { name: 'Make the key' }).click();
    const made = page.locator('#made');
    await made.waitFor();
    const first = (await made.textContent())?.trim() ?? '';
    await page.getByRole('button', { name: 'Copy the key' }).click();
    await page.getByText('Copied.').waitFor();
    expect(await page.evaluate('navigator.clipboard.readText()')).toBe(first);
    expect(await wrongWith(page, 'a key that was made', '#keys')).toEqual([]);
    await rowOf('till').getByRole('button', { name: 'Replace' }).click();
    await page.getByText('Make a key in place of “till”').waitFor();
    expect(await page.getByLabel('read claims and what is due').isChecked()).toBe(true);
    await page.getByRole('button', { name: 'Make the key' }).click();
    await page.getByText('The old key still works').waitFor();
    const second = (await made.textContent())?.trim() ?? '';
    expect([await reads(first), await reads(second)]).toEqual([200, 200]);
    await page.getByRole('button', { name: 'End the old key “till”' }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'End the key' }).click();
    await page.locator('#keys').getByText('Ended').waitFor();
    expect([await reads(first), await reads(second)]).toEqual([401, 200]);
    await page.reload();
    await rowOf('till').first().waitFor();
    expect(await page.content()).not.toContain(second);
  });

  it('shows what was done in the trail, narrowed by kind, as a file, and that the chains are whole', async () => {
    await page.keyboard.press('g');
    await page.keyboard.press('t');
    await page.getByRole('heading', { name: 'Trail', exact: true }).waitFor();
    await rowOf('Person shut out').waitFor();
    await page.getByRole('button', { name: 'Check every history' }).click();
    await page.getByText('Every history is whole').waitFor();
    expect(await wrongWith(page, 'the trail')).toEqual([]);
    await page.getByLabel('What', { exact: true }).selectOption('password-set');
    await page.getByRole('button', { name: 'Show', exact: true }).click();
    await page.waitForURL(/kind=password-set/);
    await page.locator('tbody tr').nth(1).waitFor({ state: 'detached' });
    await rowOf('Password set').waitFor();
    const href = (await page.getByRole('link', { name: 'As CSV' }).getAttribute('href')) ?? '';
    const file = await page.request.get(desk.address + href);
    expect((await file.text()).trim().split('\r\n')).toHaveLength(2);
    await page.getByLabel('Who, part of the name').fill('nobody of that name');
    await page.getByRole('button', { name: 'Show', exact: true }).click();
    await page.getByText('Nobody did anything like that.').waitFor();
    expect(await wrongWith(page, 'nothing in the trail', 'main')).toEqual([]);
  });

  it('says what to do where the session has ended, the service is down, or the role does not include it', async () => {
    await page.goto(deskAddress(desk, '/people'));
    await page.getByText('Add a person').click();
    await page.getByLabel('Name', { exact: true }).fill('Ned Tarn');
    await page.getByLabel('E-mail address').fill('ned@example.test');
    await page.getByLabel('First password').fill('nine slow boats at night');
    await page.route('**/v1/people', (route) => route.abort());
    await page.getByRole('button', { name: 'Add the person' }).click();
    await page.getByText('The service does not answer.').waitFor();
    expect(await page.getByLabel('Name', { exact: true }).inputValue()).toBe('Ned Tarn');
    await page.unrouteAll();
    await open.clearCookies();
    await page.getByRole('button', { name: 'Add the person' }).click();
    await page.getByText('Your session has ended.').first().waitFor();
    expect(await page.getByLabel('Name', { exact: true }).inputValue()).toBe('Ned Tarn');
    await desk.signIn(open, desk.home.analyst);
    await page.goto(deskAddress(desk, '/people'));
    await page.getByText('Your role does not include this.').first().waitFor();
    expect(await page.getByRole('navigation').getByText('People and keys').count()).toBe(0);
  });
});
