import type { BrowserContext, CDPSession, Page, Route } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Jobs } from '../../src/platform/jobs/jobs.js';
import { decidedBentFrame, recoveryOn } from '../support/recoveries.js';
import { hand } from '../support/resources.js';
import { browserForFile, noBrowser } from './browser.js';
import { complaintsOf, deskAddress } from './desk-page.js';
import { WebDesk } from './web-desk.js';

/** How windows are held, and what people have set for themselves: window, size of type, forced colours. */
const HOLDS = [
  ['at 320 pixels', { width: 320, height: 700 }, 16, 'none'],
  ['with type at twice the size', { width: 1280, height: 800 }, 32, 'none'],
  ['on a phone on its side', { width: 844, height: 390 }, 16, 'none'],
  ['in forced colours', { width: 1280, height: 800 }, 16, 'active'],
] as const;

/** Adds up what shifts while nobody touches anything. */
const WATCH_SHIFTS = `
  globalThis.shifted = 0;
  new PerformanceObserver((list) => {
    for (const entry of list.getEntries()) if (!entry.hadRecentInput) globalThis.shifted += entry.value;
  }).observe({ type: 'layout-shift', buffered: true });`;

/** What is wider than its place, cut off, in the way, or told by colour alone. */
const MEASURE = `[
  ...(document.documentElement.scrollWidth > innerWidth + 1 ? ['the page is ' + document.documentElement.scrollWidth + ' wide'] : []),
  ...[...document.querySelectorAll('button, .button, h1, h2, h3, label, .mark, summary')]
    .filter((each) => each.checkVisibility() && !each.closest('.away') && each.clientWidth > 0 && each.scrollWidth > each.clientWidth + 1
      && getComputedStyle(each).display !== 'inline')
    .map((each) => 'cut off: ' + each.textContent.trim().slice(0, 40)),
  ...[...document.querySelectorAll('body *')]
    .filter((each) => ['sticky', 'fixed'].includes(getComputedStyle(each).position))
    .map((each) => each.getBoundingClientRect())
    .filter(({ width, height }) => width > innerWidth / 2 && height > innerHeight / 2)
    .map(({ height }) => 'what stays in place is ' + Math.round(height) + ' high'),
  ...[...document.querySelectorAll('.side nav a.active')]
    .filter((each) => getComputedStyle(each).fontWeight < 600 || [...document.querySelectorAll('.side nav a:not(.active)')]
      .some((other) => getComputedStyle(other).borderLeftColor === getComputedStyle(each).borderLeftColor))
    .map((each) => 'the open door looks like the others: ' + each.textContent),
]`;

/** Whether anything moves by itself. */
const MOVING = `document.getAnimations().length + [...document.querySelectorAll('body *')]
  .filter((each) => getComputedStyle(each).transitionDuration.split(',').some((time) => parseFloat(time) > 0.01)).length`;

describe.skipIf(noBrowser !== undefined)('every page of the desk', () => {
  const context = browserForFile();
  let desk: WebDesk;
  let open: BrowserContext;
  let page: Page;
  let tools: CDPSession;
  let places: readonly string[];
  let complaints: string[];

  beforeAll(async () => {
    desk = await WebDesk.open();
    await desk.settle();
    const claim = await decidedBentFrame(desk);
    const [visit] = await desk.data().rows<{ id: string }>('select id from visit limit 1');
    const { id } = await recoveryOn(desk, claim, 'carrier');
    const [record] = await desk
      .data()
      .rows<{ id: string; policy: string; version: number }>(
        'select id, policy_code as policy, policy_version as version from decision_record limit 1',
      );
    const policy = `/policies/${record?.policy ?? ''}`;
    const version = `${policy}/${record?.version ?? 0}`;
    const rehearsals = `/v1${policy}/versions/${record?.version ?? 0}/rehearsals`;
    const asked = (await desk.client.post(desk.home.analyst, rehearsals, {})).json<{ id: string }>();
    await desk.test.app.get(Jobs).workOff();
    places = [
      '/',
      `/claims/${claim}`,
      '/due?within=366',
      '/recoveries',
      `/recoveries/${id}`,
      '/recoveries/statements',
      '/visits',
      `/visits/${visit?.id ?? ''}`,
      '/visits/new',
      '/figures',
      '/policies',
      policy,
      version,
      `${version}/try`,
      `${version}/review`,
      `${version}/difference`,
      `${version}/rehearse`,
      `/rehearsals/${asked.id}`,
      `/records/${record?.id ?? ''}`,
      '/checklists',
      '/checklists/bed-base/1',
      '/models',
      '/models/bed-base/1',
      '/catalogue',
      '/catalogue/models/OST-DRIFT-Q-US',
      '/people',
      '/phones',
      '/trail',
    ];
    open = await context({ viewport: { width: 1280, height: 800 }, reducedMotion: 'reduce' });
    await open.addInitScript(WATCH_SHIFTS);
    const everybody = await hand(desk.data(), desk.home.tenant, ['analyst', 'policy owner', 'administrator']);
    await desk.signIn(open, everybody);
    page = await open.newPage();
    tools = await open.newCDPSession(page);
    await tools.send('Page.enable');
    complaints = complaintsOf(page);
  }, 120_000);
  afterAll(async () => {
    await desk.close();
    expect(complaints).toEqual([]);
  });

  /** Waits until a page shows what it is about: nothing is fetched any more. What a policy is measured by takes its time. */
  async function shown(): Promise<void> {
    await page.locator('main h1').waitFor();
    await page
      .locator('[role=status]', { hasText: /^Fetching/ })
      .first()
      .waitFor({ state: 'detached', timeout: 45_000 });
  }

  it('holds in narrow windows, large type, on its side and in forced colours; nothing shifts, nothing moves by itself', async () => {
    const wrong: string[] = [];
    for (const place of places) {
      await page.goto(deskAddress(desk, place));
      await shown();
      const shifted = await page.evaluate<number>('globalThis.shifted');
      if (shifted > 0.05) wrong.push(`${place} shifts by ${shifted.toFixed(3)}`);
      if ((await page.evaluate<number>(MOVING)) > 0) wrong.push(`${place} moves although it should not`);
      for (const [how, viewport, em, forcedColors] of HOLDS) {
        await page.setViewportSize(viewport);
        await page.emulateMedia({ forcedColors, reducedMotion: 'reduce' });
        await tools.send('Page.setFontSizes', { fontSizes: { standard: em } });
        const size = await page.evaluate('parseFloat(getComputedStyle(document.documentElement).fontSize)');
        if (size !== em) wrong.push(`${place} ${how}: the size of the type did not take`);
        wrong.push(...(await page.evaluate<string[]>(MEASURE)).map((each) => `${place} ${how}: ${each}`));
      }
      await page.setViewportSize({ width: 1280, height: 800 });
      await page.emulateMedia({ forcedColors: 'none', reducedMotion: 'reduce' });
      await tools.send('Page.setFontSizes', { fontSizes: { standard: 16 } });
    }
    expect(wrong).toEqual([]);
  }, 240_000);

  it('says what it fetches while it waits, and where to sign in when the session has ended', async () => {
    let held: Route[] | undefined;
    const endIt = (route: Route): Promise<void> =>
      route.fulfill({
        status: 401,
        contentType: 'application/problem+json',
        json: {
          type: '/problems/sign-in-required',
          title: 'You need to sign in',
          status: 401,
          detail: 'Sign in again.',
        },
      });
    // Who is there, and what changes, still come.
    await page.route(/\/(v1|desk-data)\/(?!me$|changes$)/, (route) => {
      if (held === undefined) return endIt(route);
      held.push(route);
    });
    const wrong: string[] = [];
    const told = (): Promise<string> => page.locator('main').innerText();
    for (const place of places) {
      held = [];
      await page.goto(deskAddress(desk, place));
      for (const words of [/Fetching/, /session has ended[^]*Sign in in another tab/]) {
        await expect
          .poll(told, { timeout: 8000 })
          .toMatch(words)
          .catch(async () => wrong.push(`${place}: ${(await told()).slice(0, 200).replaceAll('\n', ' / ')}`));
        const waiting: readonly Route[] = held ?? [];
        held = undefined;
        await Promise.all(waiting.map(endIt));
      }
    }
    await page.unrouteAll({ behavior: 'ignoreErrors' });
    expect(wrong).toEqual([]);
  }, 120_000);
});
