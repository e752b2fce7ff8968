import { spawn, type ChildProcess } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { chromium, type Browser, type Page } from 'playwright-core';
import { BROWSER_FLAGS, browserProgram } from './browser.js';

const PATIENCE_MS = 20_000;

/** A browser with a folder of its own that can be killed as a phone's system kills one: at once, with no time to write anything. */
export class KilledBrowser {
  private readonly profile = mkdtempSync(join(tmpdir(), 'as-noted-killed-'));
  private process: ChildProcess | undefined;
  private browser: Browser | undefined;

  /** Starts the browser on its folder, as it was left. @returns a page of it */
  async start(): Promise<Page> {
    await this.kill();
    const portFile = join(this.profile, 'DevToolsActivePort');
    rmSync(portFile, { force: true });
    const flags = ['--headless=new', '--remote-debugging-port=0', `--user-data-dir=${this.profile}`];
    this.process = spawn(browserProgram(), [...BROWSER_FLAGS, ...flags, 'about:blank'], {
      detached: true,
      stdio: 'ignore',
      env: { ...process.env, HOME: this.profile },
    });
    const until = Date.now() + PATIENCE_MS;
    while (!existsSync(portFile) || !readFileSync(portFile, 'utf8').includes('\n')) {
      if (Date.now() > until) throw new Error('the browser did not open its port');
      await pause(50);
    }
    const [port] = readFileSync(portFile, 'utf8').split('\n');
    this.browser = await chromium.connectOverCDP(`http://127.0.0.1:${port}`);
    const [context] = this.browser.contexts();
    if (context === undefined) throw new Error('the browser has no window');
    context.setDefaultTimeout(10_000);
    return context.newPage();
  }

  /** SIGKILL to the browser and every process of it. */
  async kill(): Promise<void> {
    const { process: child } = this;
    if (child?.pid === undefined || child.exitCode !== null) return;
    const ended = new Promise((done) => child.once('exit', done));
    process.kill(-child.pid, 'SIGKILL');
    await ended;
    await this.browser?.close().catch(() => undefined);
    this.process = undefined;
  }

  async close(): Promise<void> {
    await this.kill();
    rmSync(this.profile, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
  }
}
