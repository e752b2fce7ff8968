import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { crewFolder } from '../../src/web/crew-files.js';
import { browserForFile, noBrowser } from './browser.js';
import { CrewPhone, PHONE } from './crew-phone.js';
import { WebDesk } from './web-desk.js';

const KB = 1000;

/** Bytes that go over the air for the files of a name, pressed together. */
function pressed(named: RegExp): number {
  return readdirSync(crewFolder())
    .filter((file) => named.test(file))
    .reduce((sum, file) => sum + gzipSync(readFileSync(join(crewFolder(), file)), { level: 9 }).length, 0);
}

describe('what goes over the air', () => {
  it.each([
    ['the script up to the first check', /^(early|index-.*)\.js$/, 30],
    ['everything that runs without the scanner', /^(early|(index|later|camera|spanish)-.*)\.js$/, 45],
    ['the style sheet', /\.css$/, 6],
    ['the worker', /^worker\.js$/, 8],
    ['the scanner, where a phone has none', /^(reader|zxing)/, 430],
  ])('%s fits', (_what, named, most) => {
    const bytes = pressed(named);
    expect(bytes).toBeGreaterThan(1 * KB);
    expect(bytes).toBeLessThanOrEqual(most * KB);
  });
});

/** Slow 3G as browsers' own tools set it, and a quarter of this machine's speed. */
const SLOW_3G = { offline: false, latency: 400, downloadThroughput: 50 * 1024, uploadThroughput: 50 * 1024 };
const SLOWER = 4;
const RUNS = 3;

/** Taps through to the first check as fast as the screens come, and notes when an answer can be given, and what has shifted. */
const TAPPER = `
  globalThis.shifted = 0;
  new PerformanceObserver((list) => {
    for (const entry of list.getEntries()) if (!entry.hadRecentInput) globalThis.shifted += entry.value;
  }).observe({ type: 'layout-shift', buffered: true });
  const tapping = setInterval(() => {
    const link = document.querySelector('a[href*="/begin?unit="]');
    const begin = [...document.querySelectorAll('button')].find((each) => each.textContent === 'We are ready: begin');
    if (document.querySelector('#answer')) {
      globalThis.usable = performance.now();
      clearInterval(tapping);
    } else if (begin && !begin.disabled) begin.click();
    else link?.click();
  }, 20);
`;

function median(values: readonly number[]): number {
  return values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;
}

async function usable(page: Page): Promise<{ readonly ms: number; readonly shifted: number }> {
  await expect.poll(() => page.evaluate('globalThis.usable ?? 0'), { timeout: 30_000 }).toBeGreaterThan(0);
  return page.evaluate<{ ms: number; shifted: number }>('({ ms: usable, shifted })');
}

describe.skipIf(noBrowser !== undefined)('a slow phone on a slow line', () => {
  const context = browserForFile();
  let desk: WebDesk;

  beforeAll(async () => {
    desk = await WebDesk.open();
  });
  afterAll(() => desk.close());

  it('has a check to answer within four seconds at first, within one and a half again, and nothing shifts', async () => {
    const first: number[] = [];
    const again: number[] = [];
    const shifts: number[] = [];
    for (let run = 0; run < RUNS; run += 1) {
      await desk.settleNow();
      const opened = await context(PHONE);
      await opened.addInitScript(TAPPER);
      const phone = await CrewPhone.in(opened, desk);
      const tools = await opened.newCDPSession(phone.page);
      await tools.send('Network.enable');
      await tools.send('Network.emulateNetworkConditions', SLOW_3G);
      await tools.send('Emulation.setCPUThrottlingRate', { rate: SLOWER });
      await phone.page.goto(phone.link, { waitUntil: 'commit' });
      const fresh = await usable(phone.page);
      await phone.keptForOffline();
      await phone.page.reload({ waitUntil: 'commit' });
      const kept = await usable(phone.page);
      first.push(fresh.ms);
      again.push(kept.ms);
      shifts.push(fresh.shifted, kept.shifted);
      await opened.close();
    }
    process.stderr.write(
      `first ${first.map(Math.round).join(', ')} ms; again ${again.map(Math.round).join(', ')} ms\n`,
    );
    expect(median(first)).toBeLessThanOrEqual(4000);
    expect(median(again)).toBeLessThanOrEqual(1500);
    expect(Math.max(...shifts)).toBeLessThanOrEqual(0.05);
  }, 120_000);
});
