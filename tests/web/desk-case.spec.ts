import type { BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { browserForFile, noBrowser } from './browser.js';
import { complaintsOf, deskAddress, wrongWith } from './desk-page.js';
import { WebDesk } from './web-desk.js';

interface MarkView {
  readonly polygon: readonly (readonly number[])[];
  readonly body?: { readonly value: string };
  readonly creator: { readonly name: string };
  readonly target: { readonly selector: { readonly type: string; readonly value: string } };
  readonly withdrawnAt?: string;
}

// The page of a case in the desk: photos under one hand, marks that are kept as web annotations, acts beside other people's acts.
describe.skipIf(noBrowser !== undefined)('a case at the desk', () => {
  const context = browserForFile();
  let desk: WebDesk;
  let claim: string;
  let open: BrowserContext;
  let page: Page;
  let complaints: string[];

  beforeAll(async () => {
    desk = await WebDesk.open();
    await desk.settle();
    claim = await desk.shortageClaim();
    open = await context({ viewport: { width: 1360, height: 900 }, bypassCSP: true });
    await desk.signIn(open, desk.home.analyst);
    page = await open.newPage();
    complaints = complaintsOf(page);
  }, 120_000);
  afterAll(async () => {
    await desk.close();
    expect(complaints).toEqual([]);
  });
  beforeEach(async () => {
    await page.goto(deskAddress(desk, `/claims/${claim}`));
    await page.locator('#photos .pane img').first().waitFor();
  });

  const left = () => page.locator('#photos .pane').first();
  /** How the pictures lie in their panes. */
  const lying = () =>
    page.locator('#photos .lies').evaluateAll((all) => all.map((each) => (each as HTMLElement).style.transform));

  async function marks(): Promise<readonly MarkView[]> {
    const [row] = await desk.data().rows<{ id: string }>('select id from exhibit order by received_at, id limit 1');
    const all = await desk.client.get(desk.home.analyst, `/v1/photos/${row?.id ?? ''}/marks`);
    return all.json<{ items: MarkView[] }>().items;
  }

  it('shows photos side by side, and what is done to one by key is done to both', async () => {
    await page.keyboard.press('+');
    const [one, other] = await lying();
    expect(one).toMatch(/scale\(1\.3\)$/);
    expect(other).toBe(one);
    await left().focus();
    await page.keyboard.press('ArrowLeft');
    expect((await lying())[1]).not.toBe(one);
    expect(new Set(await lying()).size).toBe(1);
    await page.keyboard.press('0');
    expect((await lying())[0]).toMatch(/scale\(1\)$/);
    await page.keyboard.press('r');
    expect(
      await page.locator('.picture').evaluateAll((all) => all.map((each) => each.getAttribute('data-turn'))),
    ).toEqual(['1', '1']);
    await left().hover();
    await page.mouse.wheel(0, -200);
    await expect.poll(async () => (await lying())[1]).toMatch(/scale\(1\.15\)$/);
    const before = await page.getByLabel('Left', { exact: true }).inputValue();
    await page.keyboard.press('3');
    expect(await page.getByLabel('Left', { exact: true }).inputValue()).not.toBe(before);
  });

  it('goes over the whole window and comes back by Escape, with the focus kept inside meanwhile', async () => {
    await page.getByRole('button', { name: 'Whole window' }).click();
    const window = page.getByRole('dialog', { name: 'Photos in the whole window' });
    await window.waitFor();
    for (let presses = 0; presses < 14; presses += 1) {
      await page.keyboard.press('Tab');
      expect(await window.evaluate((frame) => frame.contains(document.activeElement))).toBe(true);
    }
    expect(await wrongWith(page, 'the whole window', '.phototable')).toEqual([]);
    await page.keyboard.press('Escape');
    await window.waitFor({ state: 'detached' });
    expect(await page.evaluate('document.activeElement.textContent')).toMatch(/^Whole window/);
  });

  it('keeps a mark that was placed by keys alone, as a web annotation, and takes it back with who and when', async () => {
    const first = await page.getByLabel('Left', { exact: true }).evaluate((each) => (each as HTMLSelectElement).value);
    if (first !== '0') await page.keyboard.press('1');
    await page.keyboard.press('m');
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Shift+ArrowDown');
    await page.getByLabel('What is to be seen there').fill('the seal is whole');
    expect(await wrongWith(page, 'a mark that is being made', '.phototable')).toEqual([]);
    await left().focus();
    await page.keyboard.press('Enter');
    await page.getByText('the seal is whole').waitFor();
    const [mark] = await marks();
    // W3C Web Annotation Data Model 4.2.1 with Media Fragments 1.0: begun at 40, 40, 20, 20 percent; one step is 2 percent.
    expect(mark?.target.selector).toMatchObject({ type: 'FragmentSelector', value: 'xywh=percent:42,40,20,22' });
    expect(mark?.body?.value).toBe('the seal is whole');
    await page.getByRole('button', { name: 'Take it back' }).click();
    await page.getByText('Taken back (1)').click();
    await page.getByText(/taken back by/).waitFor();
    expect((await marks())[0]?.withdrawnAt).toBeDefined();
  });

  it('takes a mark from the pointer where it was drawn, also in a turned picture', async () => {
    if ((await page.getByLabel('Left', { exact: true }).inputValue()) !== '0') await page.keyboard.press('1');
    await page.keyboard.press('r');
    await page.keyboard.press('m');
    const box = await page.locator('.picture').first().boundingBox();
    if (box === null) throw new Error('no picture');
    const at = (x: number, y: number) => [box.x + box.width * x, box.y + box.height * y] as const;
    await page.mouse.move(...at(0.25, 0.5));
    await page.mouse.down();
    await page.mouse.move(...at(0.75, 0.75), { steps: 3 });
    await page.mouse.up();
    await page.getByRole('button', { name: 'Keep the mark' }).click();
    await page.getByRole('button', { name: 'Take it back' }).waitFor();
    const mark = (await marks()).find(({ withdrawnAt }) => withdrawnAt === undefined);
    const xs = mark?.polygon.map(([x = 0]) => x) ?? [];
    const ys = mark?.polygon.map(([, y = 0]) => y) ?? [];
    // A quarter to the right draws (u, v) at (1 - v, u): x of the screen from 0.25 to 0.75 is v, y from 0.5 to 0.75 is u.
    for (const [value, wanted] of [
      [Math.min(...xs), 0.5],
      [Math.max(...xs), 0.75],
      [Math.min(...ys), 0.25],
      [Math.max(...ys), 0.75],
    ] as const)
      expect(Math.abs(value - wanted)).toBeLessThan(0.02);
  });

  it('keeps what was typed when somebody else acts meanwhile, says so, and sends nothing over it', async () => {
    await page.keyboard.press('a');
    const words = page.locator('#ask').getByLabel('What do you need to know?');
    await words.fill('Where is the carton now?');
    await desk.acts(claim, [desk.second, 'questions', { asked: 'Which carton?', of: 'crew' }]);
    await page.getByText('The case has changed while you were at it.').waitFor();
    expect(await words.inputValue()).toBe('Where is the carton now?');
    await page.locator('#ask').getByText('This cannot be done any more.').waitFor();
    expect(await wrongWith(page, 'a case that has changed', '.news')).toEqual([]);
    await desk.acts(claim, [desk.second, 'information', { words: 'It is the one with the seal.', facts: {} }]);
    await desk.assess();
    await page.locator('#ask').getByRole('button', { name: 'Ask', exact: true }).click();
    await page.getByText('Somebody changed this in the meantime.').waitFor();
    expect(await words.inputValue()).toBe('Where is the carton now?');
    expect((await desk.read(claim)).state).toBe('proposed');
  });

  it('keeps what was typed when the session ends, and sends it after signing in again', async () => {
    await page.keyboard.press('a');
    const words = page.locator('#ask').getByLabel('What do you need to know?');
    await words.fill('Is the seal whole?');
    await open.clearCookies();
    await page.locator('#ask').getByRole('button', { name: 'Ask', exact: true }).click();
    await page.getByText('Your session has ended.').waitFor();
    expect(await wrongWith(page, 'a session that has ended', '#acts')).toEqual([]);
    await desk.signIn(open, desk.home.analyst);
    expect(await words.inputValue()).toBe('Is the seal whole?');
    await page.locator('#ask').getByRole('button', { name: 'Ask', exact: true }).click();
    await expect.poll(async () => (await desk.read(claim)).state).toBe('needs information');
  });

  it('shows nothing wrong to axe-core while it is fetched, when it fails and when it is there', async () => {
    expect(await wrongWith(page, 'the case')).toEqual([]);
    await page.keyboard.press('?');
    await page.getByRole('dialog', { name: 'Keys' }).waitFor();
    expect(await wrongWith(page, 'the keys', 'dialog[open]')).toEqual([]);
    await page.keyboard.press('Escape');
    await page.route('**/desk-data/cases/*', () => undefined);
    await page.reload();
    await page.getByText('Fetching the case…').waitFor();
    expect(await wrongWith(page, 'fetching')).toEqual([]);
    await page.unrouteAll({ behavior: 'ignoreErrors' });
    await page.route('**/desk-data/cases/*', (route) =>
      route.fulfill({
        status: 404,
        json: { type: 'about:blank', title: 'There is no such thing.', detail: 'There is no claim with this id.' },
      }),
    );
    await page.reload();
    await page.getByText('There is no claim with this id.').waitFor();
    expect(await wrongWith(page, 'failing')).toEqual([]);
    await page.unrouteAll({ behavior: 'ignoreErrors' });
  });

  it('says which photo cannot be shown and why, doubts with what they are worth, and has a photo read again', async () => {
    await page.route('**/desk-data/cases/*', async (route) => {
      const answer = await route.fetch();
      const data = (await answer.json()) as { photos: { row: Record<string, unknown>; renditions: unknown[] }[] };
      const [first, second] = data.photos;
      if (first === undefined || second === undefined) throw new Error('the case has no two photos');
      Object.assign(first, { renditions: [] });
      Object.assign(first.row, {
        state: 'failed',
        mediaType: 'image/heic',
        failure: 'HEIC cannot be read here.',
        reading: null,
      });
      const rate = { flagged: 20, of: 245, among: 'camera files' };
      const doubts = [
        { kind: 'edited', says: 'A program changed it.', measured: 3, threshold: 2, unit: 'hours', rate },
      ];
      second.row['reading'] = { ...(second.row['reading'] as object), doubts };
      await route.fulfill({ json: data });
    });
    await page.reload();
    await page.getByText('HEIC cannot be read here.').first().waitFor();
    await page.getByText('Measured 3, limit 2 hours.').waitFor();
    await page.getByText(/about 20 of 245 camera files/).waitFor();
    expect(await wrongWith(page, 'a photo that cannot be shown', '#photos')).toEqual([]);
    const asked = page.waitForRequest((request) => /\/v1\/photos\/[^/]+\/reading$/.test(request.url()));
    await page.getByRole('button', { name: 'Read it again' }).click();
    expect((await asked).method()).toBe('POST');
    await page.unrouteAll({ behavior: 'ignoreErrors' });
  });

  it('is brought to its decision by keys alone, and shows what happens without being loaded again', async () => {
    const tabTo = async (name: string): Promise<void> => {
      for (let presses = 0; presses < 20; presses += 1) {
        const at = await page.evaluate<string>('document.activeElement.textContent + document.activeElement.id');
        if (at.startsWith(name)) return;
        await page.keyboard.press('Tab');
      }
      throw new Error(`${name} is not reached by Tab`);
    };
    await page.locator('#answer > summary').focus();
    await tabTo('answer-words');
    await page.keyboard.type('The crew says that the seal is whole.');
    await tabTo('Note it and assess again');
    await page.keyboard.press('Enter');
    await page.locator('.head').getByText('Waiting for information').waitFor({ state: 'detached' });
    await desk.assess();
    await page.locator('.head').getByText('Proposed').waitFor();
    await page.evaluate('document.activeElement.blur()');
    await page.keyboard.press('d');
    await page.locator('#approve[open]').waitFor();
    if (await page.locator('#approve-reason').count()) {
      await page.keyboard.press('ArrowDown');
      await tabTo('approve-words');
      await page.keyboard.type('Count and photos agree.');
      await tabTo('Approve');
    }
    await page.keyboard.press('Enter');
    await page.locator('.head').getByText('Approved').waitFor();
    expect((await desk.read(claim)).state).toBe('decided');
    expect((await desk.kinds(claim)).at(-1)).toBe('claim-decided');
  });
});
