import type { BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { lessRestocking } from '../support/less-restocking.js';
import { decidedBentFrame } from '../support/recoveries.js';
import { hand, house, type Hand } from '../support/resources.js';
import { browserForFile, noBrowser } from './browser.js';
import { complaintsOf, deskAddress, wrongWith } from './desk-page.js';
import { WebDesk } from './web-desk.js';

const US = '/policies/us-powered-furniture';

// A draft comes from a file, is proposed, sent back, rehearsed by a second person, approved; and why a claim was judged as it was.
describe.skipIf(noBrowser !== undefined)('policies at the desk', () => {
  const context = browserForFile();
  const complaints: string[][] = [];
  let desk: WebDesk;
  let claim: string;
  let owner: Page;
  let second: Page;

  const sit = async (who: Hand): Promise<Page> => {
    const open: BrowserContext = await context({ viewport: { width: 1440, height: 900 }, bypassCSP: true });
    await desk.signIn(open, who);
    const page = await open.newPage();
    complaints.push(complaintsOf(page));
    return page;
  };
  const at = (page: Page, place: string) => page.goto(deskAddress(desk, place));
  const act = (page: Page, title: string) =>
    page.locator('details.act').filter({ has: page.getByText(title, { exact: true }).first() });

  beforeAll(async () => {
    desk = await WebDesk.open();
    await desk.settle();
    claim = (await desk.proposed()).id;
    await decidedBentFrame(desk);
    owner = await sit(desk.home.owner);
    second = await sit(desk.home.secondOwner);
  }, 120_000);
  afterAll(async () => {
    await desk.close();
    expect(complaints.flat()).toEqual([]);
  });
  beforeEach(async () => {
    await owner.unrouteAll();
    await second.unrouteAll();
  });

  it('show what is in force; a policy from a file is kept only after what was understood was seen', async () => {
    await at(second, '/policies');
    await second.getByRole('link', { name: 'Version 1' }).waitFor();
    expect(await wrongWith(second, 'policies')).toEqual([]);
    await at(owner, US);
    await owner.getByRole('heading', { name: 'Calendar' }).waitFor();
    await owner.getByText('None yet. A rehearsal shows', { exact: false }).waitFor();
    expect(await wrongWith(owner, 'a policy')).toEqual([]);
    const file = (name: string, text: string) =>
      owner
        .getByLabel('File', { exact: true })
        .setInputFiles({ name, mimeType: 'text/plain', buffer: Buffer.from(text) });
    await file('tables.csv', 'policy,another,Not this one\r\n');
    await owner.getByRole('button', { name: 'Read it' }).click();
    await owner.getByText('Line 1: The file is of the policy "another"', { exact: false }).first().waitFor();
    const dmn = await owner.request.get(`${desk.address}/v1${US}/versions/1/export?format=dmn`);
    await file('model.dmn', await dmn.text());
    await owner.getByRole('button', { name: 'Read it' }).click();
    await owner.getByRole('heading', { name: 'Understood of model.dmn' }).waitFor();
    await file('draft.json', JSON.stringify(lessRestocking()));
    await owner.getByRole('button', { name: 'Read it' }).click();
    await owner.getByRole('heading', { name: 'Understood of draft.json' }).waitFor();
    await owner.getByText('It runs, its examples pass, no error was found').waitFor();
    expect(await wrongWith(owner, 'a file that was understood', '#bring-in')).toEqual([]);
    await owner.locator('#understood').getByLabel('To hold from').fill('2026-04-01');
    await owner.getByRole('button', { name: 'Keep it as a draft' }).click();
    await owner.waitForURL(`**${US}/2`);
  });

  it('are proposed with a day and a note, and not approved by whoever wrote them; others see it without loading anew', async () => {
    await at(owner, `${US}/2/review`);
    await owner.getByRole('heading', { name: 'Analysis' }).waitFor();
    expect(await wrongWith(owner, 'a draft under review')).toEqual([]);
    await owner.getByLabel('To hold from').fill('2026-05-01');
    await owner.getByLabel('What the second person should know').fill('Less is held back.');
    await owner.getByRole('button', { name: 'Propose it' }).click();
    await owner.getByText('A second person is needed.').waitFor();
    expect(await owner.getByRole('button', { name: 'Approve this content' }).count()).toBe(0);
    await owner.locator('#steps').getByText('Less is held back.').waitFor();
    await owner.getByText('from 1 May 2026').waitFor();
    // The second person looks at the list of all policies since before the draft was there.
    await second.locator('#waiting').getByRole('link', { name: 'version 2', exact: false }).click();
    const approval = act(second, 'Approve it');
    await approval.getByText('It has not been rehearsed on past claims.').waitFor();
    expect(await approval.getByRole('button', { name: 'Approve this content' }).isDisabled()).toBe(true);
  });

  it('are sent back with a reason; what somebody else types meanwhile is not lost', async () => {
    const third = await sit(await hand(desk.data(), desk.home.tenant, ['policy owner']));
    await at(third, `${US}/2/review`);
    await act(third, 'Approve it').getByLabel('What you looked at').fill('Half of the rules');
    const rejection = act(second, 'Send it back');
    await rejection.getByText('Send it back', { exact: true }).first().click();
    await rejection.getByLabel('Why').fill('Say in the reason why it is twelve.');
    await second.route('**/rejection', (route) => route.fulfill({ status: 401, json: { title: 'Sign in.' } }));
    await rejection.getByRole('button', { name: 'Send it back' }).click();
    await rejection.getByText('Your session has ended.').waitFor();
    expect(await rejection.getByLabel('Why').inputValue()).toBe('Say in the reason why it is twelve.');
    await second.unrouteAll();
    await rejection.getByRole('button', { name: 'Send it back' }).click();
    await owner.locator('#steps').getByText('Say in the reason why it is twelve.').waitFor();
    await third.getByText('Approve it: Half of the rules').waitFor();
    expect(await wrongWith(third, 'typed words that came too late', '#acts')).toEqual([]);
    await third.context().close();
    await owner.getByRole('button', { name: 'Propose it' }).click();
    await owner.getByText('A second person is needed.').waitFor();
  });

  it('are rehearsed by key: progress, a stop, and what would have come out otherwise, claim by claim', async () => {
    await second.getByRole('heading', { name: 'Version 2' }).waitFor();
    await second.keyboard.press('r');
    await second.getByLabel('About how many').fill('some');
    await second.getByRole('button', { name: 'Start the rehearsal' }).click();
    await second.getByText('Give a whole number from 1 on', { exact: false }).first().waitFor();
    expect(await wrongWith(second, 'a rehearsal that is asked for')).toEqual([]);
    await second.getByLabel('About how many').fill('');
    await second.getByRole('button', { name: 'Start the rehearsal' }).click();
    await second.getByText('The claims are being counted.').waitFor();
    expect(await wrongWith(second, 'a rehearsal under way')).toEqual([]);
    await second.getByRole('button', { name: 'Stop it' }).click();
    await second.getByText('It was stopped before its end.').waitFor();
    await second.getByRole('link', { name: 'Start another one' }).click();
    await second.getByRole('button', { name: 'Start the rehearsal' }).click();
    await second.getByText('The claims are being counted.').waitFor();
    await desk.assess();
    // 10 % of 300.00 were held back, 12 % are by the draft; the other claim is no return.
    await second.getByText('1 of 2 claims come out otherwise.').waitFor();
    await second.getByText('(−6.00 USD): 0 claims more, 1 claim less.', { exact: false }).waitFor();
    expect(await wrongWith(second, 'what a rehearsal found')).toEqual([]);
    await second.getByLabel('Order').selectOption('less');
    await second.waitForURL('**order=less**');
    await second.locator('#changes tbody').getByRole('link').click();
    await second.getByRole('heading', { name: 'How it comes about' }).waitFor();
    const pair = second.locator('.both-ways').filter({ hasText: 'Restocking percent: 10' }).first();
    expect(await pair.innerText()).toMatch(/Restocking percent: 12\s+Differs/);
    expect(await wrongWith(second, 'a claim under two versions')).toEqual([]);
    const csv = await second.request.get(`${desk.address}${await hrefOf(second, 'The rehearsal', 'csv')}`);
    expect((await csv.text()).split('\r\n')[1]).toContain('270.00,264.00,-6.00');
  });

  it('stand beside another version, rule by rule, and are approved for what was looked at', async () => {
    await at(second, `${US}/2/difference`);
    await second.locator('.changed .becomes').first().waitFor();
    const changed = second.locator('.changed tbody').filter({ hasText: 'Gives restocking percent' }).first();
    expect(await changed.innerText()).toMatch(/Changed[\s\S]*12/);
    expect(await wrongWith(second, 'a difference')).toEqual([]);
    await second.getByRole('link', { name: 'Review' }).click();
    const approval = act(second, 'Approve it');
    await approval.getByText('You approve exactly the content', { exact: false }).waitFor();
    expect(await wrongWith(second, 'an approval')).toEqual([]);
    await approval.getByLabel('What you looked at').fill('The rehearsal and every changed rule.');
    await approval.getByRole('button', { name: 'Approve this content' }).click();
    await second.locator('.head').getByText('Scheduled').waitFor();
    await owner.locator('.head').getByText('Scheduled').waitFor();
    const [put] = await desk
      .data()
      .rows<{ from: string }>(`select lower(effective)::text "from" from policy_period where version = 2`);
    expect(put?.from).toBe('2026-05-01');
    await at(owner, US);
    await owner.locator('#calendar').getByText('from 1 May 2026').waitFor();
    const withdrawal = act(second, 'Take it off the calendar');
    await withdrawal.getByText('Take it off the calendar', { exact: true }).first().click();
    await withdrawal.getByLabel('Why').fill('The season is over.');
    await withdrawal.getByRole('button', { name: 'Take it off the calendar' }).click();
    await owner.locator('#versions').getByText('Withdrawn').waitFor();
    await owner.locator('#calendar').getByText('given back when another was withdrawn').waitFor();
  });

  it('say why a claim was judged so, and why not otherwise', async () => {
    const analyst = await sit(desk.home.analyst);
    await at(analyst, `/claims/${claim}`);
    await analyst.getByRole('link', { name: 'Why each rule fired', exact: false }).click();
    await analyst.getByRole('heading', { name: 'How it came about' }).waitFor();
    await analyst.getByLabel('You would have expected').selectOption('unit');
    await analyst.getByText('Not given').first().waitFor();
    await analyst.getByRole('button', { name: 'Judge it again' }).click();
    await analyst.getByText('It comes out the same, byte for byte').waitFor();
    expect(await wrongWith(analyst, 'a record')).toEqual([]);
    await at(analyst, US);
    await analyst.getByText('Policy owners write new versions.', { exact: false }).waitFor();
    await analyst.context().close();
  });

  it('of another house are not there; fetching and failing say what to do', async () => {
    const other = await house(desk.data());
    const [rehearsal] = await desk.data().rows<{ id: string }>(`select id from rehearsal where state = 'finished'`);
    const stranger = await sit(other.owner);
    await at(stranger, `/rehearsals/${rehearsal?.id ?? ''}`);
    await stranger.getByText('There is no rehearsal with this id.').waitFor();
    await at(stranger, `${US}/2/review`);
    await stranger.getByText('There is no version 2 of that policy.').waitFor();
    expect(await wrongWith(stranger, 'a version that is not there')).toEqual([]);
    await at(stranger, '/policies');
    await stranger.getByText('There is no policy yet', { exact: false }).waitFor();
    expect(await wrongWith(stranger, 'no policies')).toEqual([]);
    await stranger.route('**/v1/policies?**', () => undefined);
    await stranger.reload();
    await stranger.getByText('Fetching the policies…').waitFor();
    expect(await wrongWith(stranger, 'fetching', 'main')).toEqual([]);
    await stranger.context().close();
    const names = async (who: Hand) => (await desk.client.get(who, '/desk-data/names')).json<object>();
    expect(Object.keys(await names(desk.home.analyst))).toContain(desk.home.owner.id);
    expect(Object.keys(await names(other.analyst))).not.toContain(desk.home.owner.id);
    expect(await names(desk.home.retailerPerson)).toMatchObject({ status: 403 });
  });

  /** The address of all changes as a file, on the page to which a link leads. */
  async function hrefOf(page: Page, link: string, format: string): Promise<string> {
    await page.getByRole('link', { name: link, exact: true }).click();
    return (await page.getByRole('link', { name: `All as ${format.toUpperCase()}` }).getAttribute('href')) ?? '';
  }
});
