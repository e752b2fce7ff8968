import type { BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { EvidenceModel } from '../../src/diagnosis/diagnosis.contract.js';
import { house, type Hand } from '../support/resources.js';
import { browserForFile, noBrowser } from './browser.js';
import { complaintsOf, deskAddress, wrongWith } from './desk-page.js';
import { WebDesk } from './web-desk.js';

const MODEL = '/v1/evidence-models/bed-base/versions';
const WHY = { outcome: 'approved', reason: 'goodwill', words: 'A good customer of many years.' } as const;

// A policy owner reads a model, tries it, changes it by keys beside somebody else, and a second person publishes it.
describe.skipIf(noBrowser !== undefined)('evidence models at the desk', () => {
  const context = browserForFile();
  let desk: WebDesk;
  let open: BrowserContext;
  let page: Page;
  let complaints: string[];

  beforeAll(async () => {
    desk = await WebDesk.open();
    await desk.settle();
    await desk.acts(await desk.shortageClaim(), [desk.home.analyst, 'decisions', WHY]);
    [open, page] = await at(desk.home.owner);
    complaints = complaintsOf(page);
  }, 120_000);
  afterAll(async () => {
    await desk.close();
    expect(complaints).toEqual([]);
  });

  async function at(who: Hand): Promise<[BrowserContext, Page]> {
    const opened = await context({ viewport: { width: 1360, height: 900 }, bypassCSP: true });
    await desk.signIn(opened, who);
    return [opened, await opened.newPage()];
  }

  const model = (version: number, part = ''): string =>
    deskAddress(desk, `/models/bed-base/${version}${part === '' ? '' : `?part=${part}`}`);
  const saved = async (version: number): Promise<EvidenceModel> =>
    (await desk.client.get(desk.home.owner, `${MODEL}/${version}`)).json<{ document: EvidenceModel }>().document;
  const priorIn = (document: EvidenceModel, id: string): number | undefined =>
    document.explanations.find((one) => one.id === id)?.prior;
  const prior = (fault: string) => page.getByLabel(`Prior of “${fault}”`, { exact: true });

  it('are listed with what is in force, and their explanations read, without a finding of axe-core', async () => {
    await page.goto(deskAddress(desk, '/models'));
    await page.getByRole('heading', { name: 'What goes wrong with powered bed bases' }).waitFor();
    expect(await wrongWith(page, 'the models')).toEqual([]);
    await page.getByRole('link', { name: 'bed-base, version 1', exact: true }).click();
    await page.getByText('What speaks for it and against it').first().click();
    await page.getByText('By the priors alone', { exact: false }).waitFor();
    expect(await wrongWith(page, 'explanations', 'main')).toEqual([]);
  });

  it.each([
    ['signs', 'The crew is asked'],
    ['table', 'clearly against'],
    ['study', 'Told apart clearly'],
    ['claims', 'Do its chances come true?'],
    ['changes', 'This is the only version'],
  ] as const)('are read on the part %s', async (part, sign) => {
    // Axe takes its time with a thousand cells that are all alike.
    await page.goto(`${model(1, part)}&find=${part === 'table' ? 'hole' : ''}`);
    await page.getByText(sign).first().waitFor();
    expect(await wrongWith(page, part, 'main')).toEqual([]);
  });

  it('are tried: the worked example of docs/evidence.md comes out as it is written there', async () => {
    await page.goto(model(1, 'try'));
    const tick = async (says: string, sighting: string): Promise<void> => {
      await page.getByRole('group', { name: says }).getByLabel(sighting, { exact: true }).check();
    };
    await tick('The count is short of frame parts or hardware', 'Seen');
    await tick('The bag or tray of the missing piece was still sealed', 'Seen');
    await tick('The tape is broken or there is a second tape', 'Not there');
    const finding = page.locator('section.sheet').filter({ has: page.getByRole('heading', { name: 'Contents' }) });
    await finding.getByText('+12.1').waitFor();
    const leading = finding.getByRole('row', { name: /frame parts or hardware left out/i }).first();
    // 89.9 % there; +12.1, +8.4 and +0.2 decibans.
    expect(await leading.locator('.figures').textContent()).toBe('90 %');
    await finding.getByText('+8.4').waitFor();
    await finding.getByText('+0.2').waitFor();
    await page.getByText('What to look at next').waitFor();
    expect(await wrongWith(page, 'a trial', 'main')).toEqual([]);
  });

  it('are changed by keys; what is no number is kept as it was typed, told at once and led to', async () => {
    await page.goto(model(1));
    await page.getByRole('button', { name: 'New draft from version 1' }).press('Enter');
    await page.waitForURL(/bed-base\/2/);
    await prior('pierced by a fork on the way').press('ControlOrMeta+a');
    await page.keyboard.type('many');
    await page.getByText('1 change not saved').waitFor();
    await page.getByText('One thing is wrong with it').waitFor();
    expect(await wrongWith(page, 'a draft with a fault', 'main')).toEqual([]);
    await page.keyboard.press('ControlOrMeta+s');
    await page.getByText('It cannot be saved yet.').waitFor();
    expect(priorIn(await saved(2), 'pierced-by-a-fork')).toBe(10);
    await page.goto(model(2, 'table'));
    await page.getByText('It shows the last state without faults.', { exact: false }).waitFor();
    await page.getByRole('button', { name: 'This must be a number.' }).press('Enter');
    const cell = prior('pierced by a fork on the way');
    await expect.poll(() => cell.evaluate((each) => each === document.activeElement)).toBe(true);
    expect(await cell.inputValue()).toBe('many');
    await page.keyboard.press('ControlOrMeta+a');
    await page.keyboard.type('12');
    await page.keyboard.press('ControlOrMeta+s');
    await page.getByText('Nothing unsaved').waitFor();
    expect(priorIn(await saved(2), 'pierced-by-a-fork')).toBe(12);
  });

  it('take a chance of one sign, by key from sign to sign, and say what it weighs', async () => {
    await page.goto(model(2, 'signs'));
    await page.getByLabel('Find a sign').fill('hums');
    await page.getByRole('heading', { name: 'It hums without moving' }).waitFor();
    await page.getByLabel('Find a sign').fill('');
    await page.getByRole('region', { name: 'List of signs' }).focus();
    await page.keyboard.press('j');
    await page.getByRole('heading', { name: 'The unit has been in use for a year or more' }).waitFor();
    await page.keyboard.press('k');
    await page.getByRole('heading', { name: 'The unit was delivered today and not used before' }).waitFor();
    const chance = page.getByLabel('Chance if “joints worn in use”', { exact: true });
    expect(await chance.inputValue()).toBe('0.02');
    await chance.fill('0.2');
    const row = page.getByRole('row').filter({ has: chance });
    await expect.poll(() => row.textContent()).toContain('clearly against');
    await page.getByRole('button', { name: 'Undo' }).click();
    expect(await chance.inputValue()).toBe('0.02');
    expect(await wrongWith(page, 'a sign that is changed', 'main')).toEqual([]);
  });

  it('are changed by two people: neither loses a word', async () => {
    await page.goto(model(2));
    await prior('soaked by rain or a leaking trailer').fill('7');
    const before = await desk.client.get(desk.home.secondOwner, `${MODEL}/2`);
    const { document } = before.json<{ document: EvidenceModel }>();
    const explanations = document.explanations.map((one) =>
      one.id === 'dropped-on-the-way' ? { ...one, prior: 25 } : one,
    );
    const theirs = { document: { ...document, explanations } };
    await desk.client.put(desk.home.secondOwner, `${MODEL}/2`, theirs, String(before.headers['etag']));
    await page.getByText('Somebody else saved this draft in the meantime.').waitFor();
    expect(await prior('soaked by rain or a leaking trailer').inputValue()).toBe('7');
    await page.getByText('What they changed (1)').click();
    expect(await wrongWith(page, 'a draft that was overtaken', '.savenotes')).toEqual([]);
    await page.getByRole('button', { name: 'Go on from theirs' }).click();
    expect(await prior('dropped on a corner or edge on the way').inputValue()).toBe('25');
    await open.clearCookies();
    await page.keyboard.press('ControlOrMeta+s');
    await page.getByText('Your session has ended.').first().waitFor();
    await desk.signIn(open, desk.home.owner);
    expect(await prior('soaked by rain or a leaking trailer').inputValue()).toBe('7');
    await page.keyboard.press('ControlOrMeta+s');
    await page.getByText('Nothing unsaved').waitFor();
    const now = await saved(2);
    expect([priorIn(now, 'soaked-on-the-way'), priorIn(now, 'dropped-on-the-way')]).toEqual([7, 25]);
  });

  it('are published by a second person, who sees what changes before', async () => {
    expect(await page.getByRole('button', { name: 'Publish…' }).count()).toBe(0);
    await page.getByText('A second policy owner has to publish it').waitFor();
    await prior('pierced by a fork on the way').fill('13');
    const [second, other] = await at(desk.home.secondOwner);
    await other.goto(model(2, 'changes'));
    await other.getByText('What version 2 has otherwise than version 1').first().waitFor();
    expect(await other.locator('table.changes tbody tr').count()).toBe(3);
    expect(await wrongWith(other, 'what changed', 'main')).toEqual([]);
    await other.goto(model(2, 'claims'));
    await other.getByRole('heading', { name: 'Version 2 beside version 1' }).waitFor();
    expect(await wrongWith(other, 'two versions on decided claims', 'main')).toEqual([]);
    await other.getByRole('button', { name: 'Publish…' }).click();
    const dialog = other.getByRole('dialog', { name: 'Publish version 2' });
    await dialog.getByText('in 3 places', { exact: false }).waitFor();
    expect(await wrongWith(other, 'publishing', 'dialog[open]')).toEqual([]);
    const publish = dialog.getByRole('button', { name: 'I have read it: publish it' });
    await dialog.getByLabel('It begins on').fill('2019-01-01');
    await publish.click();
    await dialog.getByText('2019-01-01 has passed.', { exact: false }).first().waitFor();
    await dialog.getByLabel('It begins on').fill('');
    await publish.click();
    await other.getByText('It is in force.', { exact: false }).waitFor();
    await second.close();
    // The author's page hears of it, and what came too late for it goes into the next draft.
    await page.getByText('It was published before you saved.').waitFor();
    expect(await wrongWith(page, 'a draft that was published', '.modelacts')).toEqual([]);
    await page.getByRole('button', { name: 'New draft with them' }).click();
    await page.waitForURL(/bed-base\/3/);
    expect(await prior('pierced by a fork on the way').inputValue()).toBe('13');
  });

  it('are learnt from decided claims into a draft that shows every number that moved', async () => {
    await page.goto(model(2, 'claims'));
    await page.getByText('Write a draft that is learnt from them').click();
    await page.getByLabel('Priors of a thing count as … claims').fill('0');
    await page.getByLabel('Each chance counts as … checked claims').fill('20');
    await page.getByRole('button', { name: 'Write the draft' }).click();
    const form = page.locator('form').filter({ has: page.getByRole('button', { name: 'Write the draft' }) });
    await form.getByRole('alert').waitFor();
    expect(await page.getByLabel('Each chance counts as … checked claims').inputValue()).toBe('20');
    await page.getByLabel('Priors of a thing count as … claims').fill('40');
    await page.getByRole('button', { name: 'Write the draft' }).click();
    await page.waitForURL(/bed-base\/4/);
    await page.getByText('What version 4 has otherwise than version 2').first().waitFor();
    // One claim, in which it was so: Wilson's interval (1927) of 1 of 1 is 20.65 to 100 %.
    await page.getByText('1 of 1: 100 %; 95 % interval 21 % to 100 %').first().waitFor();
    expect(await wrongWith(page, 'a draft that was learnt', 'main')).toEqual([]);
  });

  it('say when they are fetched, fail or do not exist, also to another house', async () => {
    const stranger = await house(desk.data());
    const [closing, other] = await at(stranger.owner);
    await other.goto(deskAddress(desk, '/models'));
    await other.getByText('There is no evidence model yet.', { exact: false }).waitFor();
    expect(await wrongWith(other, 'no models', 'main')).toEqual([]);
    await other.goto(model(2));
    await other.getByText('There is no version 2 of that evidence model.').waitFor();
    expect(await wrongWith(other, 'no such model', 'main')).toEqual([]);
    await other.route('**/desk-data/models/**', () => undefined);
    await other.reload();
    await other.getByText('Fetching the evidence model…').waitFor();
    expect(await wrongWith(other, 'a model that is fetched', 'main')).toEqual([]);
    await closing.close();
  });
});
