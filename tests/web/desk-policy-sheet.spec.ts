import type { BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { PolicyDocument } from '../../src/policies/policies.contract.js';
import { rule, smallDocument } from '../support/small-policy.js';
import { browserForFile, noBrowser } from './browser.js';
import { complaintsOf, deskAddress, wrongWith } from './desk-page.js';
import { WebDesk } from './web-desk.js';

const CODE = 'small';
const VERSIONS = `/v1/policies/${CODE}/versions`;
const SHEET = '/policies/small/1';

/** What the second person writes in. */
interface Writable {
  title: string;
  readonly decisions: readonly { readonly table?: { readonly rules: readonly { when: Record<string, string> }[] } }[];
}

/** A policy with one table, one expression and no example. */
function document(): PolicyDocument {
  const answer = { type: 'enum', values: ['pay', 'decline', 'ask'] } as const;
  return smallDocument(
    [
      {
        id: 'answer',
        gives: { answer },
        table: {
          hit: 'first',
          columns: { part: 'part', days: 'days', noted: 'noted' },
          rules: [
            { ...rule('ANS-10', { part: '"carton"', days: '<= notice days' }, { answer: 'pay' }), because: 'In time.' },
            rule('ANS-20', { days: '> 30' }, { answer: 'decline' }),
            rule('ANS-30', { noted: 'true' }, { answer: 'pay' }),
          ],
          otherwise: { answer: 'ask' },
        },
      },
      { id: 'half', gives: { half: { type: 'decimal' } }, expression: 'price paid / 2' },
    ],
    {
      facts: {
        part: { type: 'enum', values: ['carton', 'leg', 'motor'] },
        noted: { type: 'boolean' },
        days: { type: 'integer', min: 0, max: 365 },
        'price paid': { type: 'decimal', min: '0' },
        'delivered on': { type: 'date' },
      },
    },
  );
}

// The sheet of a draft, by its keys: cells, faults, somebody else, a session that ends, a case that is tried.
describe.skipIf(noBrowser !== undefined)('the sheet of a policy', () => {
  const context = browserForFile();
  let desk: WebDesk;
  let open: BrowserContext;
  let page: Page;
  let complaints: string[];

  beforeAll(async () => {
    desk = await WebDesk.open();
    await desk.settle();
    const body = { document: document(), effectiveFrom: '2026-06-01' };
    expect((await desk.client.post(desk.home.owner, VERSIONS, body)).statusCode).toBe(201);
    open = await context({ viewport: { width: 1440, height: 900 }, bypassCSP: true });
    await desk.signIn(open, desk.home.owner);
    page = await open.newPage();
    complaints = complaintsOf(page);
  }, 120_000);
  afterAll(async () => {
    await desk.close();
    expect(complaints).toEqual([]);
  });

  const press = async (...keys: readonly string[]): Promise<void> => {
    for (const key of keys) await page.keyboard.press(key);
  };
  /** A cell by its row, from 0, and the head of its column. */
  const cell = async (row: number, head: string) => {
    const column = page.getByRole('columnheader').filter({ hasText: new RegExp(`^${head}`) });
    return page.locator(`[data-row="${row}"] > [aria-colindex="${await column.getAttribute('aria-colindex')}"]`);
  };
  const here = () => page.evaluate<string>('document.activeElement.textContent');
  const says = (words: string) => page.getByRole('status').filter({ hasText: words }).first();
  const rules = async () => {
    const read = await desk.client.get(desk.home.owner, `${VERSIONS}/1`);
    return read.json<{ document: PolicyDocument }>().document.decisions[0]?.table?.rules ?? [];
  };

  it('is read and moved about in by keys', async () => {
    await page.goto(deskAddress(desk, SHEET));
    await says('No mistakes').waitFor();
    expect(await wrongWith(page, 'a sheet', 'main')).toEqual([]);
    await (await cell(0, 'Rule')).focus();
    expect(await here()).toBe('ANS-10');
    await press('ArrowRight', 'ArrowDown');
    expect(await here()).toBe('> 30');
    await press('Control+End', 'Home');
    expect(await here()).toBe('otherwise');
  });

  it('marks a cell that cannot be read while it is typed, keeps it over a reload, and does not save it', async () => {
    await (await cell(0, 'part')).focus();
    await press('Enter');
    await page.getByRole('option', { name: '"motor"' }).waitFor();
    await page.keyboard.type('leg');
    await says('This is text: write "leg" with quotes').waitFor();
    expect(await wrongWith(page, 'a cell that is typed in', '#part')).toEqual([]);
    await press('Enter');
    expect(await here()).toBe('any');
    await says('1 thing cannot be read').waitFor();
    expect(await (await cell(0, 'part')).getAttribute('aria-invalid')).toBe('true');
    await page.getByRole('button', { name: 'Save the draft' }).click();
    await says('Not saved: 1 thing cannot be read').waitFor();
    expect(await wrongWith(page, 'a cell that cannot be read', 'main')).toEqual([]);
    await page.reload();
    await page.getByText('is back.').waitFor();
    expect(await (await cell(0, 'part')).textContent()).toContain('leg');
    expect((await rules())[0]?.when['part']).toBe('"carton"');
    await page.getByRole('button', { name: 'Answer, ANS-10, part' }).press('Enter');
    expect(await here()).toContain('leg');
    await press('Enter');
    await page.keyboard.type('mot');
    await press('ArrowDown', 'Enter', 'Tab');
    await says('No mistakes').waitFor();
    expect(await (await cell(0, 'part')).textContent()).toBe('"motor"');
    await press('Control+z', 'Control+z');
    expect(await (await cell(0, 'part')).textContent()).toBe('"carton"');
    await says('Everything is saved.').waitFor();
  });

  it('finds a rule that is never reached, leads to it by a key, and saves what was written', async () => {
    await (await cell(0, 'days')).focus();
    await press('Delete', 'ArrowRight', 'Delete');
    const found = page.locator('#concerns li').filter({ hasText: 'Look at this' });
    await found.first().waitFor();
    expect(await wrongWith(page, 'a rule that is never reached', '#concerns')).toEqual([]);
    await found
      .first()
      .getByRole('button', { name: /^Answer, ANS-20/ })
      .press('Enter');
    expect(await here()).toContain('ANS-20');
    await press('Control+z', 'Control+z');
    await found.first().waitFor({ state: 'detached' });
    await (await cell(2, 'Rule')).focus();
    await press('Alt+ArrowUp', 'Control+Enter');
    expect(await (await cell(2, 'Rule')).textContent()).toBe('ANS-35');
    await press('>');
    await page.keyboard.type(' 300');
    await press('Tab', 'ArrowRight', 'ArrowRight');
    await page.keyboard.type('decline');
    await press('Enter');
    expect(await (await cell(2, 'days')).textContent()).toBe('> 300');
    await says('Not saved yet').waitFor();
    await page.getByRole('button', { name: 'Save the draft' }).press('Enter');
    await says('Everything is saved.').waitFor();
    expect((await rules()).map(({ id }) => id)).toEqual(['ANS-10', 'ANS-30', 'ANS-35', 'ANS-20']);
    expect((await rules())[2]).toMatchObject(rule('ANS-35', { days: '> 300' }, { answer: 'decline' }));
  });

  it('puts what one has written on top of what somebody else saved meanwhile', async () => {
    const answer = await desk.client.get(desk.home.secondOwner, `${VERSIONS}/1`);
    const theirs = answer.json<{ document: Writable }>().document;
    theirs.title = 'A policy of two people';
    theirs.decisions[0]!.table!.rules[0]!.when['days'] = '<= 4';
    theirs.decisions[0]!.table!.rules[3]!.when['days'] = '> 60';
    // The page does not hear of it, so that it runs into the newer version with what it knows.
    await page.route('**/v1/policies/small/versions/1', (route) =>
      route.request().method() === 'GET' ? route.abort() : route.continue(),
    );
    await (await cell(3, 'days')).focus();
    await press('Enter');
    await page.keyboard.type('> 90');
    await press('Enter');
    const put = await desk.client.put(
      desk.home.secondOwner,
      `${VERSIONS}/1`,
      { document: theirs, effectiveFrom: '2026-06-01' },
      '*',
    );
    expect(put.statusCode).toBe(200);
    const refused = page.waitForResponse((answer) => answer.status() === 412);
    await page.getByRole('button', { name: 'Save the draft' }).click();
    await refused;
    await page.unrouteAll();
    const told = page.getByRole('alert').filter({ hasText: 'Somebody else saved this version meanwhile.' });
    await told.getByText('days: was <= notice days, is <= 4').waitFor();
    await told.getByText('days: was > 60, is > 90').waitFor();
    expect(await wrongWith(page, 'somebody else was faster', '.savebar')).toEqual([]);
    expect(await (await cell(0, 'days')).textContent()).toBe('<= 4');
    await page.getByRole('button', { name: 'Save the draft' }).click();
    await says('Everything is saved.').waitFor();
    expect((await rules()).map(({ when }) => when['days'])).toEqual(['<= 4', undefined, '> 300', '> 90']);
    await page.getByRole('heading', { name: 'A policy of two people' }).waitFor();
    await told.getByRole('button', { name: 'I have seen it' }).click();
  });

  it('moves nothing under a cell that is being typed in, and writes it where it belongs', async () => {
    await (await cell(3, 'noted')).focus();
    await press('Enter');
    await page.keyboard.type('fal');
    const stored = (await desk.client.get(desk.home.secondOwner, `${VERSIONS}/1`)).json<{ document: Writable }>();
    const [first] = stored.document.decisions;
    const theirs = {
      ...stored.document,
      decisions: [
        { ...first, table: { ...first?.table, rules: first?.table?.rules.toSpliced(1, 1) } },
        ...stored.document.decisions.slice(1),
      ],
    };
    const heard = page.waitForResponse((answer) => answer.url().endsWith('/versions/1') && answer.status() === 200);
    const body = { document: theirs, effectiveFrom: '2026-06-01' };
    expect((await desk.client.put(desk.home.secondOwner, `${VERSIONS}/1`, body, '*')).statusCode).toBe(200);
    await heard;
    await page.keyboard.type('se');
    await press('Enter');
    const told = page.getByRole('alert').filter({ hasText: 'Somebody else saved this version meanwhile.' });
    await told.getByText('ANS-30').waitFor();
    expect(await (await cell(2, 'noted')).textContent()).toBe('false');
    await page.getByRole('button', { name: 'Save the draft' }).click();
    await says('Everything is saved.').waitFor();
    expect((await rules()).map(({ id, when }) => [id, when['noted']])).toEqual([
      ['ANS-10', undefined],
      ['ANS-35', undefined],
      ['ANS-20', 'false'],
    ]);
    await told.getByRole('button', { name: 'I have seen it' }).click();
  });

  it('keeps what was written when the session ends, and asks before it is left', async () => {
    await (await cell(0, 'Because')).focus();
    await press('Enter');
    await page.keyboard.type('Written while the session ended.');
    await press('Enter');
    const kept = await open.cookies();
    await open.clearCookies();
    await page.getByRole('button', { name: 'Save the draft' }).click();
    await page.getByRole('alert').getByText('Your session has ended.').waitFor();
    expect(await wrongWith(page, 'a session that has ended', '.savebar')).toEqual([]);
    await open.addCookies(kept);
    await page.getByRole('navigation', { name: 'Desk' }).getByRole('link', { name: 'Figures' }).click();
    const asks = page.getByRole('alertdialog', { name: 'Your changes are not saved' });
    await asks.waitFor();
    expect(await wrongWith(page, 'leaving', 'dialog')).toEqual([]);
    await press('Escape');
    await asks.waitFor({ state: 'detached' });
    await page.getByRole('button', { name: 'Save the draft' }).click();
    await says('Everything is saved.').waitFor();
    expect((await rules())[0]?.because).toBe('Written while the session ended.');
  });

  it('tries a case with what is in the sheet, says why not another rule, and keeps it as an example', async () => {
    await page.locator('h1').click();
    await press('t');
    await page.getByLabel('Days', { exact: true }).fill('2');
    await page.getByText('Rule ANS-10 decides').waitFor({ state: 'detached' });
    await page.getByText('Must be known first').waitFor();
    await page.getByLabel('Part', { exact: true }).selectOption('carton');
    await page.getByRole('heading', { name: 'Rule ANS-10 decides' }).waitFor();
    await page.getByLabel('Rule', { exact: true }).selectOption('ANS-35');
    await page.getByText('ANS-35 does not hold:').waitFor();
    expect(await wrongWith(page, 'a case that was tried', 'main')).toEqual([]);
    await page.getByLabel('Days', { exact: true }).fill('two');
    await page.getByText('This case cannot be run.').waitFor();
    await page.getByLabel('Days', { exact: true }).fill('2');
    await page.getByLabel('Name of the example, in a few words').fill('a carton in time');
    await press('Enter');
    await page.getByRole('link', { name: 'Go there and save the draft' }).click();
    const line = page.getByRole('row').filter({ hasText: 'a carton in time' });
    await line.getByText('As written').waitFor();
    expect(await wrongWith(page, 'examples', '#part')).toEqual([]);
    const parts = page.getByRole('navigation', { name: 'Parts of the policy' });
    for (const part of ['Half', 'About', 'Parameters', 'Coverage', 'All as text']) {
      await parts.getByRole('link', { name: part }).click();
      await page.getByRole('heading', { name: part, level: 2 }).waitFor();
      expect(await wrongWith(page, part, '#part')).toEqual([]);
    }
  });

  it('of a published version is only read; a new version is written from it, and analysts read that', async () => {
    await page.getByRole('button', { name: 'Put all changes away' }).click();
    await page.goto(deskAddress(desk, '/policies/us-powered-furniture/1?part=table%20cap'));
    await page.getByText('is in force and stays as it is.').waitFor();
    await (await cell(0, 'Rule')).focus();
    await press('Enter', 'x');
    expect(await page.getByRole('grid').getByRole('textbox').count()).toBe(0);
    await page.getByRole('button', { name: 'Write a new version from this one' }).click();
    await page.getByText('Version 2 · Draft').waitFor();
    await (await cell(0, 'Rule')).waitFor();
    const reading = await context({ viewport: { width: 1440, height: 900 }, bypassCSP: true });
    await desk.signIn(reading, desk.home.analyst);
    const other = await reading.newPage();
    await other.goto(deskAddress(desk, '/policies/us-powered-furniture/2'));
    await other.getByText('You can read this sheet; policy owners write it.').waitFor();
    expect(await other.getByRole('grid').getAttribute('aria-readonly')).toBe('true');
    expect(await other.getByRole('button', { name: /Save|Row below|Undo/ }).count()).toBe(0);
    await reading.close();
  });
});
