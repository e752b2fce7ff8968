import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { BrowserContextOptions, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { browserForFile, noBrowser } from './browser.js';
import { CrewPhone, PHONE } from './crew-phone.js';
import { phonePhoto, WebDesk } from './web-desk.js';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
const SHOTS = process.env['CREW_SHOTS'];

/** How people hold their phones, and what they have set for themselves: window, size of type, forced colours. */
const HOLDS = [
  ['at 320 pixels', { width: 320, height: 568 }, 16, 'none'],
  ['with type at twice the size', { width: 360, height: 740 }, 32, 'none'],
  ['on its side', { width: 844, height: 390 }, 16, 'none'],
  ['in forced colours', { width: 390, height: 844 }, 16, 'active'],
] as const;

async function shot(page: Page, name: string): Promise<void> {
  if (SHOTS !== undefined) await page.screenshot({ path: `${SHOTS}/look-${name.replaceAll(/\W+/g, '-')}.png` });
}

/** Whether what stays at the thumb leaves too little of the screen. */
async function overwhelmed(page: Page, screen: string): Promise<string[]> {
  const share = await page.evaluate<number>(`(() => {
    const tray = document.querySelector('.tray');
    return tray && getComputedStyle(tray).position === 'sticky' ? tray.getBoundingClientRect().height / innerHeight : 0;
  })()`);
  return share > 0.5 ? [`${screen}: the tray takes ${Math.round(share * 100)} % of the screen`] : [];
}

/** What is wrong with the screen that is shown: by axe-core, in the dark only its colours, and by our own measures. */
async function faults(page: Page, screen: string, schemes: readonly ('light' | 'dark')[]): Promise<string[]> {
  const wrong: string[] = [];
  await page.evaluate(`globalThis.axe ?? (() => { ${AXE} })()`);
  for (const colorScheme of schemes) {
    await page.emulateMedia({ colorScheme });
    const rules = JSON.stringify(colorScheme === 'light' ? RULES : { type: 'rule', values: ['color-contrast'] });
    const found = await page.evaluate<string[]>(
      `axe.run(document, { runOnly: ${rules}, resultTypes: ['violations'] }).then(({ violations }) =>
        violations.map(({ id, nodes }) => id + ' at ' + nodes.map(({ target }) => target.join(' ')).join(', ')))`,
    );
    wrong.push(...found.map((each) => `${screen}, ${colorScheme}: ${each}`));
    await shot(page, `${screen} ${colorScheme}`);
  }
  const small = await page.evaluate<string[]>(
    `[...document.querySelectorAll('a, button, summary, input, select, textarea, label.pick, label.button')]
      .filter((each) => each.checkVisibility() && !(each.matches('input') && each.closest('label')))
      .map((each) => [each, each.getBoundingClientRect()])
      .filter(([, { width, height }]) => height > 0 && (height < 47.5 || width < 47.5))
      .map(([each, { width, height }]) => each.outerHTML.slice(0, 80) + ' ' + Math.round(width) + '×' + Math.round(height))`,
  );
  wrong.push(...small.map((each) => `${screen}: smaller than a thumb: ${each}`));
  return [...wrong, ...(await spilt(page, screen))];
}

/** Whether anything is wider than the window, or words are cut off. */
async function spilt(page: Page, screen: string): Promise<string[]> {
  const found = await page.evaluate<string[]>(`[
    ...(document.documentElement.scrollWidth > innerWidth + 1 ? ['the page is wider than the window'] : []),
    ...[...document.querySelectorAll('button, .button, h1, h2, label, .mark, .pick')]
      .filter((each) => each.checkVisibility() && !each.matches('.away') && each.scrollWidth > each.clientWidth + 1 && each.clientWidth > 0
        && getComputedStyle(each).display !== 'inline')
      .map((each) => 'cut off: ' + each.textContent.trim().slice(0, 40)),
  ]`);
  return found.map((each) => `${screen}: ${each}`);
}

/** Walks through every screen and state, and says each by name. */
async function tour(phone: CrewPhone, visit: (screen: string) => Promise<void>): Promise<void> {
  const { page } = phone;
  const photo = async () => ({ name: 'a.jpg', mimeType: 'image/jpeg', buffer: await phonePhoto(3) });
  const go = (name: RegExp | string) => page.getByRole('link', { name }).first().click();
  await page.goto(phone.link.replace(/#.*/, ''));
  await page.locator('#link').waitFor();
  await visit('open a visit');
  await page.locator('#link').fill('anl_nothing');
  await page.locator('form button').click();
  await page.getByRole('alert').waitFor();
  await visit('a link that does not count');
  await phone.open();
  await page.locator('#receipt summary').click();
  await page.locator('#receipt input[value="exceptions noted"]').check();
  await page.locator('#receipt-words').fill('');
  await page.locator('#receipt form button').click();
  await page.getByRole('alert').first().waitFor();
  await visit('job card with a fault in the receipt');
  await page.locator('a[href*="/begin?unit="]').click();
  await visit('before you begin');
  await page.locator('button.big-go').click();
  await phone.at('crew-size');
  await page.locator('.tray .go').click();
  await page.getByRole('alert').waitFor();
  await visit('a number with nothing entered');
  await page.locator('#answer').fill('1');
  await page.locator('.tray .go').click();
  await page.getByRole('alertdialog').waitFor();
  await page.locator('.stop-go').click();
  await page.getByRole('alert').waitFor();
  await visit('a safety stop');
  for (const box of await page.getByRole('checkbox').all()) await box.check();
  await page.locator('.stop-go').click();
  await phone.at('time-in-use');
  await visit('one of several');
  await page.locator('.answers button').first().click();
  await phone.at('carton-faces');
  await phone.photo('wide', await photo());
  await visit('photos');
  const inspection = page.url().replace(/\?.*/, '');
  for (const [check, screen] of [
    ['carton-marks', 'several of many'],
    ['serial', 'a label to scan'],
    ['contents-count', 'pieces to count'],
    ['customer-words', 'words'],
    ['packaging-kept', 'the packing'],
  ] as const) {
    await page.goto(`${inspection}?check=${check}`);
    await page.locator('.tray').waitFor();
    if (check === 'serial') await page.locator('#answer').fill('DR7K999999');
    await visit(screen);
  }
  await page.goto(`${inspection}?check=frame-damage`);
  await page.locator('input[value="bent"], .pick input').first().check();
  await page.locator('.tray .go').click();
  await page.locator('.demand').first().waitFor();
  await visit('an answer that asks for photos');
  await go(/All checks|Todas las preguntas/);
  await page.locator('.checks').first().waitFor();
  await visit('all checks');
  await page.goto(`${inspection}/send`);
  await page.locator('#words').waitFor();
  await page.locator('button.big-go').click();
  await page.getByRole('alert').first().waitFor();
  await visit('check and send, with faults');
  await page.locator('input[value="concealed"]').check();
  await page.locator('#reason').fill('The customer had to leave.');
  await page.locator('button.big-go').click();
  await page.locator('.said-number').waitFor();
  await phone.allSent();
  await visit('sent');
  await page.goto(`${new URL(phone.link).origin}/crew`);
  await page.locator('.card').waitFor();
  await visit('today');
  await go(/Help|Ayuda/);
  await page.locator('h2').first().waitFor();
  await visit('help');
}

describe.skipIf(noBrowser !== undefined)('every screen of the crew', () => {
  const context = browserForFile();
  let desk: WebDesk;

  beforeAll(async () => {
    desk = await WebDesk.open();
  });
  afterAll(() => desk.close());

  async function phoneWith(options: BrowserContextOptions): Promise<CrewPhone> {
    await desk.settleNow();
    // Axe is put into the page past its policy; what the page itself loads is still watched.
    return CrewPhone.in(await context({ ...PHONE, bypassCSP: true, serviceWorkers: 'block', ...options }), desk);
  }

  it('passes axe-core in light and dark, and fits the thumb', async () => {
    const phone = await phoneWith({});
    const wrong: string[] = [];
    phone.page.on('pageerror', (error) => wrong.push(String(error)));
    await tour(phone, async (screen) => {
      // The title follows once the screen is drawn.
      await expect
        .poll(() => phone.page.title())
        .toMatch(/ · As Noted$/)
        .catch(() => wrong.push(`${screen} has no title of its own`));
      wrong.push(...(await faults(phone.page, screen, ['light', 'dark'])));
    });
    expect(wrong).toEqual([]);
    await phone.page.context().close();
  }, 120_000);

  it('holds in Spanish at 320 pixels, with type at twice the size, on its side, and in forced colours', async () => {
    const phone = await phoneWith({ locale: 'es-MX' });
    const { page } = phone;
    const tools = await page.context().newCDPSession(page);
    await tools.send('Page.enable');
    const wrong: string[] = [];
    await tour(phone, async (screen) => {
      expect(await page.locator('html').getAttribute('lang')).toBe('es');
      wrong.push(...(await faults(page, `Spanish ${screen}`, ['light'])));
      for (const [how, viewport, em, forcedColors] of HOLDS) {
        await page.setViewportSize(viewport);
        await page.emulateMedia({ forcedColors });
        await tools.send('Page.setFontSizes', { fontSizes: { standard: em } });
        const here = `${screen} ${how}`;
        wrong.push(...(await spilt(page, here)), ...(await overwhelmed(page, here)));
        const size = await page.evaluate('parseFloat(getComputedStyle(document.documentElement).fontSize)');
        if (size !== em) wrong.push(`${here}: the size of the type did not take`);
        await shot(page, here);
      }
      await page.setViewportSize(PHONE.viewport ?? { width: 390, height: 844 });
      await page.emulateMedia({ forcedColors: 'none' });
      await tools.send('Page.setFontSizes', { fontSizes: { standard: 16 } });
    });
    expect(wrong).toEqual([]);
    await page.context().close();
  }, 120_000);

  it('can be worked by keyboard alone, from the job card to an answer and past a stop', async () => {
    const phone = await phoneWith({ hasTouch: false, isMobile: false });
    const { page } = phone;
    await phone.open();
    const until = async (wanted: RegExp): Promise<void> => {
      for (let presses = 0; presses < 40; presses += 1) {
        await page.keyboard.press('Tab');
        if (wanted.test(await page.evaluate<string>('document.activeElement.textContent || document.activeElement.id')))
          return;
      }
      throw new Error(`the keyboard does not reach ${wanted.source}`);
    };
    await until(/^Start the inspection$/);
    await page.keyboard.press('Enter');
    await until(/^We are ready: begin$/);
    await page.keyboard.press('Enter');
    await phone.at('crew-size');
    // The heading has the focus, so that readers begin at the question.
    await expect.poll(() => page.evaluate('document.activeElement.tagName')).toBe('H1');
    await until(/^answer$/);
    await page.keyboard.type('1');
    await until(/^Keep and go on$/);
    await page.keyboard.press('Enter');
    await page.getByRole('alertdialog').waitFor();
    await page.keyboard.press('Escape');
    for (let box = 0; box < 2; box += 1) {
      await page.keyboard.press('Tab');
      await page.keyboard.press('Space');
    }
    await until(/^It is safe now: go on$/);
    await page.keyboard.press('Enter');
    await phone.at('time-in-use');
    await until(/^Delivered today/);
    expect(await page.evaluate(`getComputedStyle(document.activeElement).outlineStyle`)).toBe('solid');
    await page.keyboard.press('Space');
    await phone.at('carton-faces');
    await phone.page.context().close();
  });
});
