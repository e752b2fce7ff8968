import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { browserForFile, noBrowser } from './browser.js';
import { CrewPhone, PHONE } from './crew-phone.js';
import { phonePhoto, WebDesk } from './web-desk.js';

// What phones do to a crew: a tab without a store, a full phone, a photo that is refused, a screen that goes dark.
describe.skipIf(noBrowser !== undefined)('a phone in trouble', () => {
  const context = browserForFile();
  let desk: WebDesk;

  beforeAll(async () => {
    desk = await WebDesk.open();
  });
  afterAll(() => desk.close());
  beforeEach(() => desk.settleNow());

  /** A phone whose browser was changed before the page came. @param script what is done to it */
  async function phoneWith(script: string): Promise<CrewPhone> {
    const opened = await context({ ...PHONE, serviceWorkers: 'block' });
    await opened.addInitScript(script);
    return CrewPhone.in(opened, desk);
  }
  const jpeg = async () => ({ name: 'a.jpg', mimeType: 'image/jpeg', buffer: await phonePhoto(5) });

  /** To the first check that asks for photos. */
  async function toPhotos(phone: CrewPhone): Promise<void> {
    await phone.open();
    await phone.begin();
    await phone.number('2');
    await phone.tap('Delivered today, not used yet');
    await phone.at('carton-faces');
  }

  it('that keeps nothing says so before anybody works on it', async () => {
    const phone = await phoneWith(
      `IDBFactory.prototype.open = () => { throw new DOMException('not here', 'InvalidStateError'); };`,
    );
    await phone.page.goto(phone.link);
    await phone.page.getByText('This tab keeps nothing, so work could be lost.').waitFor();
    expect(await phone.page.getByRole('link', { name: 'Start the inspection' }).count()).toBe(0);
    expect(phone.page.url()).not.toContain('anl_');
    await phone.page.context().close();
  });

  it('that is getting full says so beside the camera, and answers are kept all the same', async () => {
    const phone = await phoneWith(
      `navigator.storage.estimate = async () => ({ quota: 1_000_000_000, usage: 900_000_000 });`,
    );
    await toPhotos(phone);
    await phone.page.getByText('The phone is getting full.').waitFor();
    await phone.photo('wide', await jpeg());
    await phone.allSent();
    const kept = await desk.data().rows('select (select count(*) from exhibit)::int photos from inspection');
    expect(kept).toEqual([{ photos: 1 }]);
    await phone.page.context().close();
  });

  it('keeps a photo that the service refuses, and says what the service said and what to do', async () => {
    const phone = await phoneWith('');
    await phone.page.route('**/photos/**', (route) =>
      route.fulfill({
        status: 422,
        contentType: 'application/problem+json',
        json: { type: '/problems/photo-damaged', title: 'Damaged', detail: 'The file ends in the middle.' },
      }),
    );
    await toPhotos(phone);
    await phone.photo('wide', await jpeg());
    await phone.page.locator('[data-photo]').getByText('The file ends in the middle.').waitFor();
    await expect.poll(() => phone.chip()).toContain('Needs you');
    expect(await phone.owed()).toBe(1);
    await phone.page.getByRole('link', { name: 'Today' }).click();
    await phone.page.getByText('take it again, then take this one out').waitFor();
    await phone.page.goBack();
    await phone.page.unroute('**/photos/**');
    await phone.tap('Take it out');
    await phone.photo('wide', await jpeg());
    await phone.allSent();
    expect(await phone.chip()).toContain('All sent');
    await phone.page.context().close();
  });

  it('stays awake while a photo goes, and no longer', async () => {
    const phone = await phoneWith(`
      globalThis.locks = [];
      Object.defineProperty(navigator, 'wakeLock', { value: { request: async (kind) => {
        locks.push(kind);
        return { release: async () => { locks.push('released'); } };
      } } });`);
    await toPhotos(phone);
    expect(await phone.page.evaluate('locks')).toEqual([]);
    await phone.photo('wide', await jpeg());
    await phone.allSent();
    await expect
      .poll(() => phone.page.evaluate<string[]>('locks').then((locks) => [locks[0], locks.at(-1)]))
      .toEqual(['screen', 'released']);
    await phone.page.context().close();
  });
});
