import { spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { chromium, type Browser, type BrowserContextOptions, type Page } from 'playwright-core';
import sharp from 'sharp';

// Makes the pictures of the README: npm run screenshots. Starts the service on a database of its own in sample mode, and walks through it
// with Chromium. Imports nothing of ours, because Node runs this file as it is.

const root = resolve(import.meta.dirname, '../..');
const folder = join(root, 'docs', 'screenshots');
const PORT = 4499;
const address = `http://127.0.0.1:${PORT}`;
/** What the service printed at its start: the sample people and a link for a crew. */
let printed = '';
const LIMIT_BYTES = 200_000;

const PHONE: BrowserContextOptions = { viewport: { width: 390, height: 844 }, deviceScaleFactor: 1.5 };
const DESK: BrowserContextOptions = { viewport: { width: 1360, height: 900 } };

/** A picture of what is in the window, in as few colours as keep it within the limit. */
async function picture(page: Page, name: string): Promise<void> {
  // Pictures further down are loaded only when somebody gets there.
  await page.evaluate(`Promise.all([...document.images]
    .filter((each) => each.getBoundingClientRect().top < innerHeight)
    .map((each) => each.decode().catch(() => null)))`);
  const shot = await page.screenshot();
  for (const colours of [256, 128, 64, 32]) {
    const bytes = await sharp(shot).png({ palette: true, colours, effort: 8 }).toBuffer();
    if (bytes.length >= LIMIT_BYTES) continue;
    writeFileSync(join(folder, `${name}.png`), bytes);
    process.stdout.write(`docs/screenshots/${name}.png  ${Math.round(bytes.length / 1000)} kB\n`);
    return;
  }
  throw new Error(`${name} does not fit into ${LIMIT_BYTES} bytes`);
}

/** E-mail address and phrase of the first sample person with a role, as the service printed them. */
function samplePerson(role: string): readonly [string, string] {
  const found = new RegExp(`^\\s*${role}\\s+(\\S+@\\S+)\\s{2,}(.+?)\\s{2,}`, 'm').exec(printed);
  if (found?.[1] === undefined || found[2] === undefined) throw new Error(`the service printed no ${role}`);
  return [found[1], found[2]];
}

/** Starts the service on an empty folder. @returns what stops it and clears up */
async function startService(): Promise<() => Promise<void>> {
  const state = mkdtempSync(join(tmpdir(), 'as-noted-screenshots-'));
  const service = spawn(process.execPath, ['--enable-source-maps', join(root, 'dist/src/main.js')], {
    cwd: root,
    env: { PATH: process.env['PATH'], AS_NOTED_STATE: state, PORT: String(PORT) },
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  const ended = new Promise<void>((done) => service.once('exit', () => done()));
  await new Promise<void>((ready, failed) => {
    service.stderr.setEncoding('utf8').on('data', (text: string) => {
      printed += text;
      if (printed.includes('Ready after')) ready();
    });
    service.once('exit', () => failed(new Error(`the service did not start:\n${printed}`)));
  });
  return async () => {
    service.kill('SIGINT');
    await ended;
    rmSync(state, { recursive: true, force: true });
  };
}

async function signIn(browser: Browser, role: string, options: BrowserContextOptions): Promise<Page> {
  const page = await browser.newPage({ locale: 'en-US', ...options });
  const [email, phrase] = samplePerson(role);
  await page.goto(`${address}/sign-in`);
  await page.getByLabel('E-mail address').fill(email);
  await page.getByLabel('Password').fill(phrase);
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.waitForURL((url) => url.pathname !== '/sign-in');
  return page;
}

async function main(): Promise<void> {
  mkdirSync(folder, { recursive: true });
  const stop = await startService();
  try {
    const flags = [
      '--no-sandbox',
      '--disable-gpu',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-sync',
    ];
    const browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: flags });
    try {
      const analyst = await signIn(browser, 'analyst', DESK);
      await crew(await browser.newPage({ locale: 'en-US', ...PHONE }), () => owing(analyst));
      await desk(analyst);
      await owner(await signIn(browser, 'policy owner', DESK));
      await retailer(await signIn(browser, 'retailer', DESK), 'retailer-claim');
      await retailer(await signIn(browser, 'retailer', PHONE), 'retailer-claim-phone');
    } finally {
      await browser.close();
    }
  } finally {
    await stop();
  }
}

/** A visit from the link to the claim number. @param meanwhile what is done while photos are still on the phone */
async function crew(page: Page, meanwhile: () => Promise<void>): Promise<void> {
  const link = /\S+\/visit#\S+/.exec(printed)?.[0];
  if (link === undefined) throw new Error('the service printed no link for a crew');
  await page.goto(link);
  await page.waitForURL(/\/crew\/visits\//);
  await page.locator('a[href*="/begin?unit="]').first().waitFor();
  await picture(page, 'crew-visit');
  await page.locator('a[href*="/begin?unit="]').first().click();
  await page.getByRole('button', { name: 'We are ready: begin' }).waitFor();
  await picture(page, 'crew-before');
  await page.getByRole('button', { name: 'We are ready: begin' }).click();
  await page.locator('#answer').fill('1');
  await page.getByRole('button', { name: 'Keep and go on' }).click();
  const stop = page.getByRole('alertdialog');
  await stop.waitFor();
  await picture(page, 'crew-safety-stop');
  for (const box of await stop.getByRole('checkbox').all()) await box.check();
  await page.getByRole('button', { name: 'It is safe now' }).click();
  await page.getByRole('button', { name: 'Delivered today, not used yet' }).click();
  await page.waitForURL(/check=carton-faces/);
  await page.getByRole('link', { name: 'All checks' }).click();
  await page.locator('a[href$="check=carton-marks"]').click();
  await page.getByLabel('A corner or edge is crushed').check();
  await page.getByRole('button', { name: 'Keep and go on' }).click();
  await page.locator('input[data-shows=close]').waitFor({ state: 'attached' });
  const photos = join(root, 'sample-claims', 'bed-corner-and-leg', 'photos');
  const [first = ''] = readdirSync(photos)
    .filter((file) => file.includes('carton'))
    .concat(readdirSync(photos));
  await page.route('**/photos/**', (route) => route.abort());
  await page.locator('input[data-shows=close]').setInputFiles(join(photos, first));
  await page.locator('.thumbs img').first().waitFor({ timeout: 30_000 });
  await page.locator('.thumbs').evaluate('(list) => list.scrollIntoView({ block: "end" })');
  await picture(page, 'crew-check');
  await meanwhile();
  await page.unroute('**/photos/**');
  await page.getByRole('link', { name: 'Check and send' }).click();
  await page.getByLabel('Damage that was seen before opening').check();
  await page.getByLabel('In your own words').fill('The corner at the label is crushed.');
  await page.locator('#reason').fill('Refused at the door, so nothing more was opened.');
  await page.getByRole('button', { name: 'Send the claim' }).click();
  await page.getByRole('heading', { name: 'The claim is sent' }).waitFor({ timeout: 30_000 });
  await picture(page, 'crew-claim-sent');
}

/** Goes to a page of the desk and waits for something on it. */
async function to(page: Page, place: string, heading: string | RegExp): Promise<void> {
  await page.goto(`${address}/desk${place}`);
  await page.getByRole('heading', { name: heading }).first().waitFor({ timeout: 30_000 });
}

/** A phone whose answers came and whose photo did not yet. */
async function owing(page: Page): Promise<void> {
  await to(page, '/phones', 'Phones that owe');
  await page.locator('main h2').first().waitFor({ timeout: 30_000 });
  await picture(page, 'desk-phones');
}

async function desk(page: Page): Promise<void> {
  await to(page, '', 'Queue');
  await page.locator('a.number').first().waitFor();
  await picture(page, 'desk-queue');
  // A case with photos, and with a proposal that pays something.
  await to(page, '?view=all&find=PS-19877', 'Queue');
  await page.locator('a.number').first().click();
  // Right after the samples were loaded their pictures may still be made.
  await page.locator('#photos .pane img').nth(1).waitFor({ timeout: 120_000 });
  await page.getByText('Being read').first().waitFor({ state: 'detached', timeout: 120_000 });
  await picture(page, 'desk-case');
  await page.evaluate(`document.getElementById('findings').scrollIntoView()`);
  await picture(page, 'desk-case-reasons');
  await to(page, '/figures', 'Decided by outcome');
  await picture(page, 'desk-figures');
}

const POLICY = '/policies/us-powered-furniture';

/** A draft that puts a new part behind the other remedies. */
const WRITE_DRAFT = `(async () => {
  const read = await (await fetch('/v1${POLICY}/versions/1')).json();
  const document = { ...read.document, version: 2 };
  for (const rule of document.decisions.find(({ id }) => id === 'remedy option').table.rules)
    if (rule.when.option === '"part"' && rule.then.admissible) rule.then.rank = 8;
  const body = JSON.stringify({ document, effectiveFrom: '2027-01-01' });
  const headers = { 'content-type': 'application/json', 'idempotency-key': '"' + crypto.randomUUID() + '"' };
  const answer = await fetch('/v1${POLICY}/versions', { method: 'POST', headers, body });
  if (!answer.ok) throw new Error(await answer.text());
})()`;

async function owner(page: Page): Promise<void> {
  await to(page, `${POLICY}/1`, /powered furniture/);
  await page.locator('[role=grid]').first().waitFor();
  await picture(page, 'desk-policy-sheet');
  await page.evaluate(WRITE_DRAFT);
  await to(page, `${POLICY}/2/rehearse`, 'Rehearse version 2');
  await page.getByRole('button', { name: 'Start the rehearsal' }).click();
  await page.getByRole('heading', { name: 'What changes' }).waitFor({ timeout: 90_000 });
  await picture(page, 'desk-rehearsal');
  await to(page, '/models/bed-base/1', /powered bed/);
  await page.locator('main table').first().waitFor();
  await picture(page, 'desk-model');
  await to(page, '/checklists/bed-base/1', /Powered bed base/);
  await page.frameLocator('iframe').getByRole('heading', { level: 1 }).waitFor({ timeout: 30_000 });
  await picture(page, 'desk-checklist');
}

async function retailer(page: Page, name: string): Promise<void> {
  const settled = page.locator('tr', { hasText: 'Settled' }).first();
  await settled.locator('a.number').click();
  await page.locator('#standing').waitFor();
  await picture(page, name);
}

await main();
