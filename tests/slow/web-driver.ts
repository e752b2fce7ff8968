import { spawn, type ChildProcess } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';

export const WEBKIT = ['/usr/bin/WebKitWebDriver', '/usr/bin/Xvfb'] as const;
const MINI_BROWSERS = [
  '/usr/lib/x86_64-linux-gnu/webkit2gtk-4.1/MiniBrowser',
  '/usr/lib/x86_64-linux-gnu/webkit2gtk-4.0/MiniBrowser',
  '/usr/lib/aarch64-linux-gnu/webkit2gtk-4.1/MiniBrowser',
] as const;
const PATIENCE_MS = 20_000;
/** The name under which WebDriver hands out elements (W3C WebDriver, section 12.2). */
const ELEMENT = 'element-6066-11e4-a52e-4f735466cecf';

/** WebKitGTK by the plain protocol of W3C WebDriver: Safari's storage, workers and IndexedDB, without its shell. */
export class WebKit {
  private readonly home = mkdtempSync(join(tmpdir(), 'as-noted-webkit-'));
  private screen: ChildProcess | undefined;
  private driver: ChildProcess | undefined;
  private session = '';

  constructor(
    private readonly port = 4477,
    private readonly display = ':97',
  ) {}

  async start(): Promise<void> {
    this.screen = spawn('/usr/bin/Xvfb', [this.display, '-screen', '0', '420x900x24'], { stdio: 'ignore' });
    await pause(1000);
    this.driver = spawn('/usr/bin/WebKitWebDriver', [`--port=${this.port}`, '--host=127.0.0.1'], {
      stdio: 'ignore',
      env: {
        ...process.env,
        DISPLAY: this.display,
        HOME: this.home,
        // A container has neither the sandbox nor the graphics that it asks for.
        WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS: '1',
        WEBKIT_DISABLE_DMABUF_RENDERER: '1',
        WEBKIT_DISABLE_COMPOSITING_MODE: '1',
        LIBGL_ALWAYS_SOFTWARE: '1',
      },
    });
    await pause(800);
    const binary = MINI_BROWSERS.find((path) => existsSync(path));
    const options = { binary, args: ['--automation'] };
    const capabilities = { alwaysMatch: { 'webkitgtk:browserOptions': options } };
    const made = (await this.call('POST', '/session', { capabilities })) as { sessionId: string };
    this.session = `/session/${made.sessionId}`;
  }

  async close(): Promise<void> {
    if (this.session !== '') await this.call('DELETE', this.session).catch(() => undefined);
    this.driver?.kill();
    this.screen?.kill();
    rmSync(this.home, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
  }

  async go(url: string): Promise<void> {
    await this.call('POST', `${this.session}/url`, { url });
  }

  async reload(): Promise<void> {
    await this.call('POST', `${this.session}/refresh`, {});
  }

  /** Runs an async function's body in the page. */
  async run<T>(body: string): Promise<T> {
    const script = `const done = arguments[arguments.length - 1];
      (async () => { ${body} })().then(done, (error) => done('failed: ' + error));`;
    return (await this.call('POST', `${this.session}/execute/async`, { script, args: [] })) as T;
  }

  /** Waits for an element. @returns its id */
  async find(css: string): Promise<string> {
    const until = Date.now() + PATIENCE_MS;
    for (;;) {
      try {
        const found = (await this.call('POST', `${this.session}/element`, { using: 'css selector', value: css })) as {
          readonly [ELEMENT]: string;
        };
        return found[ELEMENT];
      } catch (error) {
        if (Date.now() > until) throw new Error(`no ${css}`, { cause: error });
        await pause(100);
      }
    }
  }

  /** Clicks an element. @param shows what has to be there afterwards; a screen may draw itself again under the click, which is then made again */
  async click(css: string, shows?: string): Promise<void> {
    const click = async () => this.call('POST', `${this.session}/element/${await this.find(css)}/click`, {});
    if (shows === undefined) await click();
    else {
      for (let tries = 0; tries < 5 && !(await this.isThere(shows)); tries += 1) {
        if (await this.isThere(css)) await click().catch(() => undefined);
        await pause(700);
      }
    }
  }

  private async isThere(css: string): Promise<boolean> {
    const found = await this.call('POST', `${this.session}/elements`, { using: 'css selector', value: css });
    return (found as unknown[]).length > 0;
  }

  /** Types into a field, or chooses a file by its path. */
  async type(css: string, text: string): Promise<void> {
    await this.call('POST', `${this.session}/element/${await this.find(css)}/value`, { text });
  }

  private async call(method: string, path: string, body?: object): Promise<unknown> {
    const answer = await fetch(`http://127.0.0.1:${this.port}${path}`, {
      method,
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
      signal: AbortSignal.timeout(30_000),
    });
    const { value } = (await answer.json()) as { value: { error?: string; message?: string } | null };
    if (!answer.ok) throw new Error(`${value?.error}: ${value?.message}`);
    return value;
  }
}
