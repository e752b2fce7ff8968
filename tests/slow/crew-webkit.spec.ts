import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Jobs } from '../../src/platform/jobs/jobs.js';
import { sidewaysPhoto } from '../support/crew-photo.js';
import { missingOnDebian } from '../support/debian.js';
import { FaultyLine } from '../web/faulty-line.js';
import { bearerOf, WebDesk } from '../web/web-desk.js';
import { WEBKIT, WebKit } from './web-driver.js';

const missing = await missingOnDebian(WEBKIT, ['webkit2gtk-driver', 'xvfb']);

// The same app in a second engine, which has no background sync, no reader of bar codes and no storage manager.
describe.skipIf(missing !== undefined)(`a visit in WebKitGTK${missing === undefined ? '' : `: ${missing}`}`, () => {
  const browser = new WebKit();
  const folder = mkdtempSync(join(tmpdir(), 'as-noted-webkit-photo-'));
  let desk: WebDesk;
  let line: FaultyLine;

  beforeAll(async () => {
    desk = await WebDesk.open();
    await desk.settleNow();
    line = new FaultyLine(desk.address);
    await line.up();
    await browser.start();
  }, 60_000);
  afterAll(async () => {
    await browser.close();
    await line.down();
    await desk.close();
    rmSync(folder, { recursive: true, force: true });
  });

  it('keeps the page, an answer and a photo without a line, and sends them when it is back', async () => {
    await browser.go(`${line.address}/visit#${bearerOf(desk.crew)}`);
    await browser.click('a[href*="/begin?unit="]', '.cautions');
    await browser.click('button.big-go');
    await browser.find('#answer');
    expect(await browser.run('return location.href')).not.toContain('anl_');
    expect(await browser.run('return (await navigator.serviceWorker.ready).active.state')).toMatch(/activat/);
    const cached = async () =>
      browser.run<number>(`const names = await caches.keys();
        const all = await Promise.all(names.map(async (name) => (await caches.open(name)).keys()));
        return all.flat().length`);
    await expect.poll(cached, { timeout: 20_000 }).toBeGreaterThan(4);
    await line.down();
    await browser.type('#answer', '2');
    await browser.click('.tray .go');
    await browser.find('.answers button');
    await browser.reload();
    await browser.click('.answers button');
    const file = join(folder, 'photo.jpg');
    writeFileSync(file, await sidewaysPhoto());
    await browser.type('input[data-gallery="wide"]', file);
    await browser.find('[data-photo] img');
    await browser.reload();
    await browser.find('[data-photo] img');
    expect(await desk.data().rows('select 1 one from inspection_answer')).toEqual([]);

    await line.up();
    await browser.run(`dispatchEvent(new Event('online'))`);
    const sent = async () => (await desk.data().rows('select 1 one from exhibit')).length;
    await expect.poll(sent, { timeout: 30_000 }).toBe(1);
    await desk.test.app.get(Jobs).workOff();
    const [photo] = await desk.data().rows<{ reading: object }>('select reading from exhibit');
    expect(photo?.reading).toMatchObject({ camera: { model: 'Halde 3' }, width: 1536, height: 2048, orientation: 1 });
    expect(await desk.data().rows('select item from inspection_answer order by item')).toEqual([
      { item: 'crew-size' },
      { item: 'time-in-use' },
    ]);
  }, 120_000);
});
