import { createServer } from 'node:net';
import type { BrowserContext } from 'playwright-core';
import sharp from 'sharp';
import { errorPage } from '../../src/web/error-page.js';
import { InsightModule } from '../../src/insight/insight.module.js';
import { WebModule } from '../../src/web/web.module.js';
import { ClaimDesk, claimsApp, SERIAL } from '../support/claims.js';
import type { Hand } from '../support/resources.js';
import { TEST_START } from '../support/test-app.js';
import { testDatabase } from '../support/test-database.js';

/** The whole service with its pages on a port of its own, and a house to work in. */
export class WebDesk extends ClaimDesk {
  address: string;

  /** Starts the service. @param now what its clock says; absent: the moment at which tests begin */
  static async open(now?: Temporal.Instant): Promise<WebDesk> {
    const data = await testDatabase();
    const desk = new WebDesk(() => data);
    const port = await freePort();
    desk.address = `http://127.0.0.1:${port}`;
    const env = { PORT: String(port), AS_NOTED_PUBLIC_URL: desk.address, AS_NOTED_LOG_LEVEL: 'silent' };
    desk.test = await claimsApp(data, { errorPage, modules: [InsightModule, WebModule], env });
    if (now !== undefined) desk.test.clock.moveTo(now);
    await desk.test.app.listen(port, '127.0.0.1');
    return desk;
  }

  /** A house with a delivered visit and its crew, at the moment that browsers have on their clocks. */
  async settleNow(): Promise<void> {
    this.test.clock.moveTo(TEST_START);
    await this.settle();
    await this.catchUp();
  }

  /** The moment that browsers have on their clocks comes; sessions and links are given time. */
  async catchUp(): Promise<void> {
    const now = Temporal.Now.instant();
    this.test.clock.moveTo(now);
    const later = now.add({ hours: 48 }).toString();
    await this.data().rows('update visit_link set expires_at = $1', [later]);
    await this.data().rows('update session set expires_at = $1, last_seen_at = $2', [later, now.toString()]);
  }

  async close(): Promise<void> {
    await this.test.close();
  }

  /** Lets somebody in without the sign-in page: their session as the cookie that the page would have given. */
  async signIn(context: BrowserContext, who: Hand): Promise<void> {
    const [name, value] = [who === this.crew ? 'as_noted_visit' : 'as_noted_session', bearerOf(who)];
    await context.addCookies([{ name, value, url: this.address }]);
  }

  /** Gets a page as a browser asks for it, without one. */
  page(who: Hand | undefined, url: string) {
    const cookie = who === undefined ? {} : { cookie: `${cookieName(who)}=${bearerOf(who)}` };
    return this.test.app.inject({ method: 'GET', url, headers: { accept: 'text/html', ...cookie } });
  }

  /** Sends a form as a browser does, without one. */
  form(who: Hand | undefined, url: string, fields: Readonly<Record<string, string>>, headers: object = {}) {
    const cookie = who === undefined ? {} : { cookie: `${cookieName(who)}=${bearerOf(who)}` };
    return this.test.app.inject({
      method: 'POST',
      url,
      payload: new URLSearchParams(fields).toString(),
      headers: {
        accept: 'text/html',
        'content-type': 'application/x-www-form-urlencoded',
        'sec-fetch-site': 'same-origin',
        ...cookie,
        ...headers,
      },
    });
  }

  /** A claim for missing electronics, inspected with photos and proposed. */
  async shortageClaim(over: object = {}): Promise<string> {
    const inspectionId = await this.inspected();
    const body = { ground: 'shortage', returnReason: undefined, wish: 'part', inspectionId, ...over };
    return (await this.proposed(body)).id;
  }
}

export { SERIAL };

/** Crews come by a cookie of their own. */
function cookieName(who: Hand): string {
  return bearerOf(who).startsWith('anl_') ? 'as_noted_visit' : 'as_noted_session';
}

/** The secret that somebody carries. */
export function bearerOf(who: Hand): string {
  return (who.headers['authorization'] ?? '').replace('Bearer ', '');
}

/** A port that nobody listens on. */
export async function freePort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const address = server.address();
  await new Promise((resolve) => server.close(resolve));
  if (address === null || typeof address === 'string') throw new Error('no port was given');
  return address.port;
}

/** A photo as a phone sends one, with something in it that is sharp. */
export async function phonePhoto(seed: number): Promise<Buffer> {
  const noise = { type: 'gaussian', mean: 120, sigma: 40 } as const;
  const background = { r: 120, g: (seed * 37) % 256, b: 90 };
  return sharp({ create: { width: 400, height: 300, channels: 3, background, noise } })
    .jpeg()
    .toBuffer();
}
