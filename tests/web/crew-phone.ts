import { expect } from 'vitest';
import type { BrowserContext, BrowserContextOptions, Page } from 'playwright-core';
import { bearerOf, type WebDesk } from './web-desk.js';

/** A phone as crews carry one. */
export const PHONE: BrowserContextOptions = {
  viewport: { width: 390, height: 844 },
  deviceScaleFactor: 2,
  hasTouch: true,
  isMobile: true,
};

/** A crew at a visit with its phone in hand: what they do, as they would do it. */
export class CrewPhone {
  constructor(
    /** The link as it stands in the message of the office. */
    readonly link: string,
    readonly page: Page,
  ) {}

  /** A phone with the link of the desk's crew. */
  static async in(context: BrowserContext, desk: Pick<WebDesk, 'address' | 'crew'>): Promise<CrewPhone> {
    return new CrewPhone(`${desk.address}/visit#${bearerOf(desk.crew)}`, await context.newPage());
  }

  /** Opens the link and waits for the job card. */
  async open(): Promise<void> {
    await this.page.goto(this.link);
    await this.page.waitForURL(/\/crew\/visits\//);
    await this.page.locator('h1').waitFor();
  }

  /** Waits until the page and all its files are kept for work without a signal. */
  async keptForOffline(): Promise<void> {
    await this.page.evaluate(`navigator.serviceWorker.ready`);
    await expect
      .poll(() =>
        this.page.evaluate<number>(
          `caches.keys().then((names) => Promise.all(names.map((name) => caches.open(name).then((cache) => cache.keys()))))
            .then((all) => all.flat().filter(({ url }) => /later-/.test(url)).length)`,
        ),
      )
      .toBe(1);
  }

  /** From the job card to the first check. */
  async begin(): Promise<void> {
    await this.page.getByRole('link', { name: 'Start the inspection' }).click();
    await this.page.getByRole('button', { name: 'We are ready: begin' }).click();
    await this.page.waitForURL(/\/crew\/inspections\/.*check=crew-size/);
  }

  /** Types a number and keeps it. */
  async number(value: string): Promise<void> {
    await this.page.locator('#answer').fill(value);
    await this.tap('Keep and go on');
  }

  /** Ticks both boxes of the stop that stands, and goes on. */
  async seeToStop(): Promise<void> {
    const stop = this.page.getByRole('alertdialog');
    await stop.waitFor();
    for (const box of await stop.getByRole('checkbox').all()) await box.check();
    await this.tap('It is safe now: go on');
    await stop.waitFor({ state: 'detached' });
  }

  async tap(name: string | RegExp): Promise<void> {
    await this.page.getByRole('button', { name, exact: typeof name === 'string' }).click();
  }

  /** Waits for a check by its id. */
  async at(check: string): Promise<void> {
    await this.page.waitForURL(new RegExp(`check=${check}$`));
  }

  /** Goes to a check by the list of all checks. */
  async jump(check: string): Promise<void> {
    await this.page.getByRole('link', { name: 'All checks' }).click();
    await this.page.locator(`.checks a[href$="check=${check}"]`).click();
    await this.at(check);
  }

  /** Takes a photo for a demand of the check on the screen, and waits until the phone has it. */
  async photo(shows: string, file: { readonly name: string; readonly mimeType: string; readonly buffer: Buffer }) {
    const before = await this.page.locator('[data-photo]').count();
    await this.page.locator(`input[data-shows="${shows}"]`).setInputFiles(file);
    await expect.poll(() => this.page.locator('[data-photo]').count(), { timeout: 15_000 }).toBe(before + 1);
  }

  /** What the chip at the head of every screen says. */
  chip(): Promise<string> {
    return this.page.locator('.chip').innerText();
  }

  /** What the phone still owes. */
  async owed(): Promise<number> {
    return this.page.evaluate<number>(`new Promise((done) => {
      const open = indexedDB.open('as-noted-crew');
      open.onsuccess = () => {
        const ask = open.result.transaction('owed').objectStore('owed').count();
        ask.onsuccess = () => { open.result.close(); done(ask.result); };
      };
    })`);
  }

  /** Waits until nothing is owed any more. */
  async allSent(timeout = 20_000): Promise<void> {
    await expect.poll(() => this.owed(), { timeout, interval: 100 }).toBe(0);
  }
}
