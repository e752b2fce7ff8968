import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import bwipjs from 'bwip-js/node';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { noBrowser, openBrowser } from './browser.js';
import { CrewPhone, PHONE } from './crew-phone.js';
import { SERIAL, WebDesk } from './web-desk.js';

/** A camera that looks at a label, as Chromium takes one: a row of JPEG pictures. The bars are drawn by bwip-js, which reads nothing. */
async function cameraOn(text: string, file: string): Promise<void> {
  const bars = await bwipjs.toBuffer({ bcid: 'code128', text, scale: 3, height: 16, includetext: true });
  const label = await sharp(bars).flatten({ background: 'white' }).resize({ width: 760 }).toBuffer();
  const frame = await sharp({ create: { width: 1280, height: 720, channels: 3, background: '#b9b4aa' } })
    .composite([{ input: label }])
    .rotate(4, { background: '#b9b4aa' })
    .resize(1280, 720)
    .blur(0.8)
    .jpeg()
    .toBuffer();
  writeFileSync(file, Buffer.concat(Array.from({ length: 10 }, () => frame)));
}

describe.skipIf(noBrowser !== undefined)('the label of a unit', () => {
  const folder = mkdtempSync(join(tmpdir(), 'as-noted-camera-'));
  let desk: WebDesk;
  let browser: Awaited<ReturnType<typeof openBrowser>>;

  beforeAll(async () => {
    desk = await WebDesk.open();
    await desk.settleNow();
    const film = join(folder, 'label.mjpeg');
    await cameraOn(SERIAL, film);
    browser = await openBrowser([
      '--use-fake-device-for-media-stream',
      '--use-fake-ui-for-media-stream',
      `--use-file-for-fake-video-capture=${film}`,
    ]);
  });
  afterAll(async () => {
    await browser.close();
    await desk.close();
    rmSync(folder, { recursive: true, force: true });
  });

  it('is read by our own reader under the policy of the page, also without a signal; no camera leads to typing', async () => {
    const context = await browser.context(PHONE);
    const phone = await CrewPhone.in(context, desk);
    await phone.open();
    await phone.keptForOffline();
    // This browser has no reader of its own, so ours was fetched ahead of need.
    expect(await phone.page.evaluate(`'BarcodeDetector' in globalThis`)).toBe(false);
    const fetched = () =>
      phone.page.evaluate<boolean>(
        `caches.match('/crew/files/' + (performance.getEntriesByType('resource').map(({ name }) => name.split('/').pop())
          .find((name) => name.endsWith('.wasm')) ?? 'none')).then((found) => found !== undefined)`,
      );
    await phone.begin();
    await phone.number('2');
    await phone.at('time-in-use');
    await expect.poll(fetched, { timeout: 20_000 }).toBe(true);
    await context.setOffline(true);
    await phone.jump('serial');
    await phone.tap('Scan the label');
    await expect.poll(() => phone.page.locator('#answer').inputValue(), { timeout: 20_000 }).toBe(SERIAL);
    await phone.tap('Keep and go on');
    await phone.page.getByText('Your answer is kept').waitFor();
    await phone.page.evaluate(
      `navigator.mediaDevices.getUserMedia = () => Promise.reject(new DOMException('no', 'NotAllowedError'))`,
    );
    await phone.jump('serial');
    await phone.tap('Scan the label');
    await phone.page.getByText('The camera did not open.').waitFor();
    await context.close();
  }, 60_000);
});
