import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Jobs } from '../../src/platform/jobs/jobs.js';
import { withExif } from '../support/exif-writer.js';
import { browserForFile, noBrowser } from './browser.js';
import { CrewPhone, PHONE } from './crew-phone.js';
import { phonePhoto, SERIAL, WebDesk } from './web-desk.js';

/** Where to put pictures of every screen, for people to look at; nowhere when it is not set. */
const SHOTS = process.env['CREW_SHOTS'];

// One visit from the link to the claim number, in the order of the work, with a signal.
describe.skipIf(noBrowser !== undefined)('a crew at a visit', () => {
  const context = browserForFile();
  let desk: WebDesk;
  let phone: CrewPhone;

  beforeAll(async () => {
    desk = await WebDesk.open();
    await desk.settleNow();
    phone = await CrewPhone.in(await context(PHONE), desk);
  });
  afterAll(() => desk.close());

  const shot = async (name: string): Promise<void> => {
    if (SHOTS !== undefined) await phone.page.screenshot({ path: `${SHOTS}/${name}.png`, fullPage: true });
  };
  const jpeg = async (seed: number) => ({ name: 'a.jpg', mimeType: 'image/jpeg', buffer: await phonePhoto(seed) });

  /** A photo whose camera says that it was taken so many minutes ago. */
  const takenAgo = async (seed: number, minutes: number) => {
    const at = Temporal.Now.instant().subtract({ minutes }).toString({ smallestUnit: 'second' });
    const takenAt = at.slice(0, 19).replaceAll('-', ':').replace('T', ' ');
    const buffer = withExif(await phonePhoto(seed), {
      make: 'Halde',
      model: 'Halde 3',
      takenAt,
      takenOffset: '+00:00',
    });
    return { name: 'a.jpg', mimeType: 'image/jpeg', buffer };
  };

  it('the link leads to the job card and leaves the address bar', async () => {
    await phone.open();
    expect(phone.page.url()).not.toContain('anl_');
    expect(await phone.page.evaluate('history.length')).toBeLessThan(4);
    await shot('visit');
    await phone.page.locator('#receipt summary').click();
    await phone.page.getByLabel('Signed, with the damage noted').check();
    await phone.tap('Keep the receipt');
    // Damage was noted, so its words are asked for; nothing that was chosen is lost.
    await phone.page.getByText('Write down what was noted, word for word.').waitFor();
    await phone.page.getByLabel('The words on it, as written').fill('Carton dented at the head end');
    await phone.tap('Keep the receipt');
    await phone.allSent();
    const [visit] = await desk.data().rows('select receipt, receipt_words words from visit');
    expect(visit).toEqual({ receipt: 'exceptions noted', words: 'Carton dented at the head end' });
  });

  it('cautions and weights come before the first check', async () => {
    await phone.page.getByRole('link', { name: 'Start the inspection' }).click();
    await phone.page.getByText('Never open a motor, supply or battery.').waitFor();
    expect(await phone.page.getByText('Carton', { exact: true }).count()).toBe(1);
    await shot('before');
    await phone.tap('We are ready: begin');
    await phone.at('crew-size');
    await shot('number');
  });

  it('a stop stands over reloads and other screens until both boxes are ticked', async () => {
    await phone.number('1');
    const stop = phone.page.getByRole('alertdialog');
    await stop.waitFor();
    // The focus follows once the stop is drawn.
    await expect.poll(() => phone.page.evaluate('document.activeElement.id')).toBe('stop');
    await shot('stop');
    await phone.page.goto(`${desk.address}/crew`);
    await stop.waitFor();
    await phone.tap('It is safe now: go on');
    await phone.page.getByText('Tick both boxes').waitFor();
    for (const box of await stop.getByRole('checkbox').all()) await box.check();
    await phone.tap('It is safe now: go on');
    await stop.waitFor({ state: 'detached' });
    await phone.at('time-in-use');
    const stops = await desk.data().rows('select stop from safety_stop where acknowledged_at is null');
    await expect
      .poll(
        async () => (await desk.data().rows('select 1 one from safety_stop where acknowledged_at is not null')).length,
      )
      .toBe(1);
    expect(stops.length).toBeLessThanOrEqual(1);
  });

  it('one check a screen, in the order of the list, with the photos it demands', async () => {
    await phone.page.getByRole('link', { name: 'Today' }).click();
    await phone.page.getByRole('link', { name: /PS-/ }).click();
    await phone.page.getByRole('link', { name: 'Go on with the inspection' }).click();
    await phone.at('time-in-use');
    await shot('choice');
    await phone.tap('Delivered today, not used yet');
    await phone.at('carton-faces');
    await phone.photo('wide', await jpeg(1));
    await shot('photos');
    await phone.page.getByRole('img').first().waitFor();
    await phone.jump('serial');
    await phone.page.locator('#answer').fill('DR7K999999');
    await phone.page.getByText('This is not the number of this visit').waitFor();
    await shot('serial');
    await phone.page.locator('#answer').fill(SERIAL.toLowerCase());
    await phone.tap('Keep and go on');
    await phone.page.getByText('Your answer is kept').waitFor();
    await phone.page.getByRole('link', { name: 'Next check' }).click();
    await phone.jump('contents-count');
    for (const plus of await phone.page.getByRole('button', { name: /^One more/ }).all()) await plus.click();
    await shot('count');
    await phone.tap('Keep and go on');
    await phone.jump('frame-damage');
    await phone.page.getByLabel('A tube, rail or plate is bent').check();
    await phone.tap('Keep and go on');
    await phone.page.getByText('It asks for photos').waitFor();
    await shot('damage');
    await phone.photo('wide', await takenAgo(10, 40));
    await phone.page.locator('input[data-gallery="close"]').setInputFiles(await takenAgo(11, 40));
    await expect.poll(() => phone.page.locator('[data-photo]').count(), { timeout: 15_000 }).toBe(2);
    await shot('damage-photos');
    await phone.page.getByRole('link', { name: 'Next check' }).click();
    await phone.page.getByRole('link', { name: 'All checks' }).click();
    await phone.page.getByRole('heading', { name: 'All checks' }).waitFor();
    await shot('checks');
    await phone.allSent();
    const taken = await desk.data().rows(`select item, shows from exhibit order by received_at`);
    expect(taken).toEqual([
      { item: 'carton-faces', shows: 'wide' },
      { item: 'frame-damage', shows: 'wide' },
      { item: 'frame-damage', shows: 'close' },
    ]);
  });

  it('before sending: what is missing, the look that is worth it, the packing; then the number', async () => {
    await phone.page.getByRole('link', { name: 'Check and send' }).click();
    await phone.page.getByText('Keep the carton and all packing').waitFor();
    await phone.page.getByText('One more look is worth it').waitFor();
    await phone.page.getByLabel('Damage that was found after opening').check();
    await phone.page.getByLabel('What would the customer like?').selectOption('part');
    await phone.page.getByLabel('In your own words').fill('The side rail is bent inwards.');
    await phone.tap('Send the claim');
    await phone.page.getByText('Write in a sentence why it stays open.').first().waitFor();
    expect(await phone.page.getByLabel('In your own words').inputValue()).toBe('The side rail is bent inwards.');
    await shot('send');
    await phone.page.locator('#reason').fill('The customer had to leave.');
    await phone.tap('Send the claim');
    await phone.page.getByRole('heading', { name: 'The claim is sent' }).waitFor();
    await phone.allSent();
    await shot('sent');
    const said = (await phone.page.locator('.said-number').innerText()).replaceAll(/\s/g, '');
    const [claim] = await desk.data().rows<{ number: string; words: string }>('select number, words from claim');
    expect(claim).toEqual({
      number: said,
      words: 'Found after the carton was opened.\nThe side rail is bent inwards.',
    });
    const photos = await desk.data().rows<{ state: string }>('select item, shows from exhibit');
    expect(photos).toHaveLength(3);
    await desk.test.app.get(Jobs).workOff();
    // The camera was in hand just now, so a picture of forty minutes ago is told to the desk; one out of the gallery may be that old.
    const doubts = await desk.data().rows<{ shows: string; minutes: number }>(
      `select shows, round((doubt ->> 'measured')::numeric / 10)::int * 10 as minutes
       from exhibit, jsonb_path_query(reading, '$.doubts[*] ? (@.kind == "time disagrees")') doubt`,
    );
    expect(doubts).toEqual([{ shows: 'wide', minutes: 40 }]);
  });

  it('help says whom to call, and a finished visit can be taken off a shared phone', async () => {
    await phone.page.goto(`${desk.address}/crew/help`);
    await phone.page.getByText('stop and call the office').waitFor();
    await shot('help');
    await phone.tap('Remove from this phone');
    await phone.page.getByText('This phone holds no visit yet').waitFor();
    await shot('empty');
    expect(await phone.page.evaluate(`indexedDB.databases().then((all) => all.length)`)).toBe(1);
    expect(await phone.owed()).toBe(0);
  });
});
