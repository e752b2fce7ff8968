import type { BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Checklist } from '../../src/inspections/inspections.contract.js';
import { house, shippedJson } from '../support/resources.js';
import { browserForFile, noBrowser } from './browser.js';
import { complaintsOf, deskAddress, wrongWith } from './desk-page.js';
import { WebDesk } from './web-desk.js';

const VERSIONS = '/v1/checklists/bed-base/versions';

// A checklist is read, shown on the crew's own screens, changed beside somebody else's changes, and published.
describe.skipIf(noBrowser !== undefined)('checklists at the desk', () => {
  const context = browserForFile();
  let desk: WebDesk;
  let open: BrowserContext;
  let page: Page;
  let complaints: string[];

  beforeAll(async () => {
    desk = await WebDesk.open();
    await desk.settle();
    open = await context({ viewport: { width: 1440, height: 900 }, bypassCSP: true });
    await desk.signIn(open, desk.home.owner);
    page = await open.newPage();
    complaints = complaintsOf(page);
  }, 120_000);
  afterAll(async () => {
    await desk.close();
    expect(complaints).toEqual([]);
  });

  const row = (number: number) => page.getByRole('button', { name: `Change check ${number}`, exact: true });
  const served = async (version: number): Promise<{ document: Checklist; state: string }> =>
    (await desk.client.get(desk.home.owner, `${VERSIONS}/${version}`)).json();
  const kept = () => page.getByText('Your changes are kept in this browser until you save them.');
  const saved = () => page.getByText('Everything is saved.');
  const question = () => page.getByRole('group', { name: 'What the crew reads' });

  it('are read in both languages by whoever works here, and shown by the crew’s own screens, which keep and send nothing', async () => {
    const analyst = await context({ viewport: { width: 1440, height: 900 } });
    await desk.signIn(analyst, desk.home.analyst);
    const reading = await analyst.newPage();
    const said = complaintsOf(reading);
    const sent: string[] = [];
    await reading.goto(deskAddress(desk, '/checklists'));
    await reading.getByRole('link', { name: 'Version 1' }).click();
    await reading.getByRole('heading', { level: 1 }).getByText('bed base', { exact: false }).waitFor();
    expect(await reading.getByRole('button', { name: 'Write a new version from this one' }).count()).toBe(0);
    const phone = reading.frameLocator('iframe');
    await phone.getByRole('heading', { name: 'Before you begin' }).waitFor();
    reading.on('request', (request) => {
      if (!request.url().includes('/checklist-preview')) sent.push(`${request.method()} ${request.url()}`);
    });
    await phone.getByRole('button', { name: 'We are ready: begin' }).click();
    const document = shippedJson('inspections', 'bed-base.1') as unknown as Checklist;
    const [first] = document.sections.flatMap(({ items }) => items);
    await phone.getByRole('heading', { name: first?.ask.en ?? '' }).waitFor();
    // One person alone: the stop that a real crew would see.
    await phone.getByRole('textbox', { name: first?.ask.en ?? '' }).fill('1');
    await phone.getByRole('button', { name: 'Keep and go on' }).click();
    await phone.getByRole('alertdialog').waitFor();
    await reading.getByRole('button', { name: 'Spanish', exact: true }).click();
    await phone.getByText('Vista previa: nada se guarda ni se envía.').waitFor();
    const [stop] = document.stops.filter(({ id }) => first?.raises?.some((raise) => raise.stop === id));
    await phone.getByText(stop?.do[0]?.es ?? 'no Spanish', { exact: false }).waitFor();
    const asked = document.sections.flatMap(({ items }) => items).findLast((item) => item.askIf !== undefined);
    await reading.getByLabel('Find in this checklist').fill(asked?.ask.en ?? '');
    await reading
      .getByRole('button', { name: /^Show check \d+ on the phone$/ })
      .last()
      .click();
    await phone.getByRole('heading', { name: asked?.ask.es ?? '' }).waitFor();
    expect(sent).toEqual([]);
    expect(said).toEqual([]);
    expect(await desk.data().rows('select id from inspection')).toEqual([]);
    await analyst.close();
  });

  it('show nothing wrong to axe-core in their list and while they are read', async () => {
    await page.goto(deskAddress(desk, '/checklists'));
    await page.getByRole('table').first().waitFor();
    await page.getByText('Write a new checklist').click();
    expect(await wrongWith(page, 'the list')).toEqual([]);
    await page.getByRole('link', { name: 'Version 1' }).click();
    await page.getByRole('button', { name: 'Open check 2', exact: true }).click();
    expect(await wrongWith(page, 'a published checklist', '.bench .open')).toEqual([]);
    await page.route('**/v1/checklists/**', (route) => route.abort());
    await page.goto(deskAddress(desk, '/checklists/bed-base/1'));
    await page.getByText('The service does not answer.').waitFor({ timeout: 20_000 });
    expect(await wrongWith(page, 'no answer', 'main')).toEqual([]);
    await page.unrouteAll();
  });

  it('are changed by keys alone, with faults that lead to their places, and saved', async () => {
    await page.goto(deskAddress(desk, '/checklists/bed-base/1'));
    await page.getByRole('button', { name: 'Write a new version from this one' }).press('Enter');
    await page.getByText('version 2', { exact: false }).first().waitFor();
    await row(1).press('Enter');
    const english = question().getByLabel('English');
    await english.fill('');
    const fault = page.locator('.faults').getByRole('button', { name: 'Check 1, question: This text is empty' });
    await fault.waitFor();
    await page.getByText('Shown is how it stood before them.', { exact: false }).waitFor();
    expect(await wrongWith(page, 'a draft with a fault', 'main')).toEqual([]);
    await page.getByRole('button', { name: 'Close check 1', exact: true }).press('Enter');
    await fault.press('Enter');
    await expect.poll(() => page.evaluate('document.activeElement.id')).toBe('#/sections/0/items/0/ask/en');
    await page.keyboard.type('How many of you lift?');
    await page.getByText('No faults: it can be saved and published.').waitFor();
    await page.frameLocator('iframe').locator('body').waitFor();
    await page.getByRole('button', { name: 'Show check 1 on the phone' }).press('Enter');
    await page.frameLocator('iframe').getByRole('heading', { name: 'How many of you lift?' }).waitFor();
    // Typed text shows on the phone without another wish.
    await english.press('End');
    await page.keyboard.type(' Count them.');
    await page.frameLocator('iframe').getByRole('heading', { name: 'How many of you lift? Count them.' }).waitFor();
    await kept().waitFor();
    await page.reload();
    await kept().waitFor();
    await page.getByRole('button', { name: 'Save the draft' }).press('Enter');
    await saved().waitFor();
    expect((await served(2)).document.sections[0]?.items[0]?.ask.en).toBe('How many of you lift? Count them.');
  });

  it('move a check with its conditions told, take one out, and go back', async () => {
    const before = (await served(2)).document;
    const items = before.sections.flatMap((section) => section.items);
    await row(2).focus();
    await page.keyboard.press('Alt+ArrowUp');
    await page
      .locator('.rows > li')
      .first()
      .getByText(items[1]?.ask.en ?? '')
      .waitFor();
    expect(await page.evaluate('document.activeElement.id')).toBe('#/sections/0/items/0');
    await page.getByRole('button', { name: 'Undo' }).press('Enter');
    await saved().waitFor();
    const looked = items.findIndex((item) => items.some((each) => each.askIf?.some((one) => one.item === item.id)));
    await page.getByRole('button', { name: `Take out check ${looked + 1}`, exact: true }).click();
    await page
      .locator('.faults')
      .getByText(`There is no item "${items[looked]?.id ?? ''}".`)
      .first()
      .waitFor();
    await page.getByRole('button', { name: 'Undo' }).click();
    await saved().waitFor();
  });

  it('keep what was typed when the session has ended, and beside what somebody else saved', async () => {
    await row(1).click();
    await question().getByLabel('Spanish').fill('¿Cuántos levantan?');
    await open.clearCookies();
    await page.getByRole('button', { name: 'Save the draft' }).click();
    await page.getByText('Your session has ended.').waitFor();
    expect(await question().getByLabel('Spanish').inputValue()).toBe('¿Cuántos levantan?');
    await desk.signIn(open, desk.home.owner);
    const { document } = await served(2);
    const theirs = { ...document, title: { en: 'A title by somebody else', es: 'Otro título' } };
    const put = await desk.client.put(desk.home.administrator, `${VERSIONS}/2`, { document: theirs }, '"v2"');
    expect(put.statusCode).toBe(200);
    // The page hears of it by itself.
    await page.getByText('Somebody else saved this draft meanwhile.').waitFor();
    await page.locator('.note').getByText('Changed around the checks: title').waitFor();
    expect(await wrongWith(page, 'two people', '.savebar')).toEqual([]);
    await page.getByRole('button', { name: 'Go on with mine' }).click();
    await page.getByRole('button', { name: 'Save the draft' }).click();
    await saved().waitFor();
    const now = (await served(2)).document;
    expect([now.title.en, now.sections[0]?.items[0]?.ask.es]).toEqual([document.title.en, '¿Cuántos levantan?']);
  });

  it('are published with what differs in view, and are in force from then on', async () => {
    await page.getByText('Publish version 2', { exact: true }).first().click();
    await page.getByText('Changed: How many of you lift? Count them.').waitFor();
    expect(await wrongWith(page, 'before publishing', '.savebar')).toEqual([]);
    const publish = page.getByRole('button', { name: 'Publish version 2' });
    expect(await publish.isDisabled()).toBe(true);
    await page.getByLabel('I have read it through', { exact: false }).check();
    await publish.click();
    await page.locator('.head').getByText('In force').waitFor();
    expect((await served(2)).state).toBe('published');
    await page.getByRole('link', { name: 'Checklists' }).first().click();
    await page.getByRole('row').filter({ hasText: 'Version 1' }).getByText('Replaced').waitFor();
  });

  it('begin anew, refusing a code that is taken or is none', async () => {
    await page.getByText('Write a new checklist').click();
    await page.getByLabel('Code').fill('bed-base');
    await page.getByLabel('Title in English').fill('Recliner with a motor');
    await page.getByRole('button', { name: 'Write the draft' }).click();
    await page.getByText('There is a checklist bed-base already.', { exact: false }).first().waitFor();
    expect(await page.getByLabel('Title in English').inputValue()).toBe('Recliner with a motor');
    await page.getByLabel('Code').fill('recliner');
    await page.getByRole('button', { name: 'Write the draft' }).click();
    await page.getByRole('heading', { level: 1, name: 'Recliner with a motor' }).waitFor();
    expect((await desk.client.get(desk.home.owner, '/v1/checklists/recliner/versions/1')).statusCode).toBe(200);
    // Another house sees nothing of it.
    const stranger = await house(desk.data());
    const elsewhere = await desk.client.get(stranger.analyst, '/v1/checklists/recliner/versions/1');
    expect(elsewhere.statusCode).toBe(404);
  });
});
