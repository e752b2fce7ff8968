import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium, type BrowserContext, type BrowserContextOptions } from 'playwright-core';
import { afterAll, beforeAll } from 'vitest';

const PLACES = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'] as const;
const found = PLACES.find((path) => existsSync(path));

/** Why there is no browser to test with; undefined where there is one. */
export const noBrowser =
  found === undefined ? `no Chromium at ${PLACES.join(', ')}; on Debian: apt-get install -y chromium` : undefined;

/** Where the browser is. @throws Error where there is none */
export function browserProgram(): string {
  if (found === undefined) throw new Error(noBrowser);
  return found;
}

/** Flags for a browser that runs as root in a container and looks for nothing on the network. */
export const BROWSER_FLAGS = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
] as const;

/** A browser for scripts and tests. Close it when done. @param more further flags */
export async function openBrowser(more: readonly string[] = []): Promise<{
  context(options?: BrowserContextOptions): Promise<BrowserContext>;
  close(): Promise<void>;
}> {
  if (found === undefined) throw new Error(noBrowser);
  const profile = mkdtempSync(join(tmpdir(), 'as-noted-browser-'));
  const browser = await chromium.launch({
    executablePath: found,
    args: [...BROWSER_FLAGS, ...more],
    env: { HOME: profile },
  });
  return {
    context: async (options = {}) => {
      const context = await browser.newContext({ locale: 'en-US', ...options });
      // A page that does not come within ten seconds will not come at all.
      context.setDefaultTimeout(10_000);
      return context;
    },
    close: async () => {
      await browser.close();
      rmSync(profile, { recursive: true, force: true });
    },
  };
}

/** For the top of a file that is skipped without a browser: one browser for all its tests. */
export function browserForFile(): (options?: BrowserContextOptions) => Promise<BrowserContext> {
  let opened: Awaited<ReturnType<typeof openBrowser>> | undefined;
  beforeAll(async () => {
    if (noBrowser === undefined) opened = await openBrowser();
    else process.stderr.write(`Browser tests are skipped: ${noBrowser}\n`);
  });
  afterAll(() => opened?.close());
  return (options) => {
    if (opened === undefined) throw new Error('the browser is there from beforeAll on');
    return opened.context(options);
  };
}
