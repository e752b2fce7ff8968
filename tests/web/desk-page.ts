import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { DESK } from '../../src/web/domain/desk-address.js';
import type { Page } from 'playwright-core';
import type { WebDesk } from './web-desk.js';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
/** WCAG 2.2 A and AA and what axe calls best practice. */
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

/** An address within the desk. @param place begins with a slash */
export function deskAddress(desk: WebDesk, place: string): string {
  return `${desk.address}${DESK}${place === '/' ? '' : place}`;
}

/**
 * Findings of axe-core on the page as it stands, in light with all rules and in the dark its colours; and whether it fits 320 px.
 * @param within a selector, where only a part of the page is new
 */
export async function wrongWith(page: Page, what: string, within = 'body'): Promise<string[]> {
  await page.evaluate(`globalThis.axe ?? (() => { ${AXE} })()`);
  const wrong: string[] = [];
  for (const colorScheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme });
    const rules = colorScheme === 'light' ? RULES : { type: 'rule', values: ['color-contrast'] };
    const found = await page.evaluate<string[]>(
      `axe.run(${JSON.stringify(within)}, { runOnly: ${JSON.stringify(rules)}, resultTypes: ['violations'] }).then(({ violations }) =>
        violations.map(({ id, nodes }) => id + ' at ' + nodes.map(({ target }) => target.join(' ')).join(', ')))`,
    );
    wrong.push(...found.map((each) => `${what}: ${each} in ${colorScheme}`));
  }
  await page.emulateMedia({ colorScheme: 'light' });
  const size = page.viewportSize();
  await page.setViewportSize({ width: 320, height: 900 });
  const wide = await page.evaluate<number>('document.documentElement.scrollWidth');
  if (wide > 320) wrong.push(`${what} is ${wide} wide in a window of 320`);
  if (size !== null) await page.setViewportSize(size);
  return wrong;
}

/** What the page complained of; what the browser says of answers that are meant to fail is no complaint. */
export function complaintsOf(page: Page): string[] {
  const wrong: string[] = [];
  page.on('console', (message) => {
    const text = message.text();
    if (message.type() === 'error' && !/Failed to load resource|ERR_FAILED|status of/.test(text)) wrong.push(text);
  });
  page.on('pageerror', (error) => wrong.push(String(error)));
  return wrong;
}
