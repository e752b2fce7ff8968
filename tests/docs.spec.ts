import { spawn } from 'node:child_process';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import * as vocabulary from '../src/kernel/vocabulary.js';
import { projectRoot } from '../src/platform/config/project-root.js';
import { fencedBlocks, headingAnchors, linksOf } from './support/markdown.js';
import { endServices, startService, type ServiceProcess } from './support/service-process.js';
import { testDatabase, type TestDatabase } from './support/test-database.js';

/**
 * The documentation is held to what the service is. The commands of README.md run as a reader would run them, against the built service
 * with freshly loaded samples; loading those and some forty requests, each by a curl of its own, take this file's time (about 20 seconds).
 */

const root = projectRoot();
const read = (file: string): string => readFileSync(join(root, file), 'utf8');
const below = (folder: string): string[] =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((file) => file.endsWith('.md'))
    .map((file) => `${folder}/${file}`);
const PAGES = ['README.md', 'DEVELOPERS.md', 'sample-claims/README.md', ...below('docs')];

describe.each(PAGES)('%s', (page) => {
  it('links only to files and headings that are there', () => {
    const broken = linksOf(read(page)).filter((target) => {
      const [path = '', anchor] = target.split('#');
      const file = path === '' ? join(root, page) : resolve(root, dirname(page), path);
      if (!existsSync(file)) return true;
      return anchor !== undefined && !headingAnchors(readFileSync(file, 'utf8')).includes(anchor);
    });
    expect(broken).toEqual([]);
  });
});

describe('the words of the trade', () => {
  const lists = Object.values(vocabulary).filter((list) => Array.isArray(list));
  const defined = [...read('docs/words.md').matchAll(/^\| \*\*(.+?)\*\* \|/gm)].map(([, word]) => word);

  it('are each defined once in docs/words.md', () => {
    const missing = lists.flatMap((list) => list.filter((word) => !defined.includes(word)));
    expect(missing).toEqual([]);
    // 'clean' of a receipt, 'carrier' and the like: a word that two lists share has one line for all its meanings.
    expect(defined.filter((word, n) => defined.indexOf(word) !== n)).toEqual([]);
  });
});

describe('the settings', () => {
  it('of the configuration and of docs/for-administrators.md are the same', () => {
    const settings = (text: string, pattern: RegExp): string[] =>
      [...new Set([...text.matchAll(pattern)].map(([, name]) => name ?? ''))].toSorted();
    const documented = settings(read('docs/for-administrators.md'), /^\| `([A-Z][A-Z0-9_]+)` \|/gm);
    const readers = ['config.ts', 'photo-settings.ts'].map((file) => read(`src/platform/config/${file}`)).join('\n');
    const known = settings(readers, /\bread\.\w+\('([A-Z][A-Z0-9_]+)'/g);
    expect(known.length).toBeGreaterThan(30);
    expect(documented).toEqual(known);
  });
});

describe('the commands of README.md and docs/api', () => {
  let database: TestDatabase;
  let state: string;
  let service: ServiceProcess;
  beforeAll(async () => {
    database = await testDatabase();
    state = await mkdtemp(join(tmpdir(), 'as-noted-readme-'));
    service = await startService({ AS_NOTED_MODE: 'sample', DATABASE_URL: database.url, AS_NOTED_STATE: state });
  });
  afterAll(async () => {
    await endServices();
    await rm(state, { recursive: true, force: true });
    await database.empty();
  });

  it('take a claim from the visit to its closure, and the retailer reads what the page promises', async () => {
    const [script, ...others] = fencedBlocks(read('README.md'), 'bash');
    expect(others).toEqual([]);
    const { code, output } = await bash(script ?? '', service.url);
    expect(output).not.toMatch(/undefined|Error/);
    expect(code).toBe(0);
    const printed = output.trimEnd().split('\n');
    expect(printed.slice(-7)).toEqual([
      'The claim was opened.',
      'The claim was filed.',
      'The service made a proposal; an analyst is looking at it.',
      'The claim was approved.',
      'The remedy was ordered.',
      'The claim was settled.',
      'The claim was closed.',
    ]);
    const states = await database.rows<{ state: string }>(
      `select c.state from claim c join visit_unit u on u.id = c.unit_id where u.serial = 'DR7W551230'`,
    );
    expect(states).toEqual([{ state: 'closed' }]);
  });

  it.each(below('docs/api'))('in %s answer as the sample house does', async (page) => {
    const [signIn = ''] = fencedBlocks(read('docs/README.md'), 'bash');
    const [tries, ...others] = fencedBlocks(read(page), 'bash');
    expect(others).toEqual([]);
    // The address that the page names is the one of a start by hand; the rest runs as it stands.
    const script = `set -euo pipefail\n${signIn.replace(/^URL=.*$/m, '')}\n${tries ?? 'exit 9'}`;
    const { code, output } = await bash(script, service.url);
    expect(output).not.toMatch(/undefined|Error/);
    expect(code).toBe(0);
    expect(output).toMatch(/^\{".+\}$/s);
  });
});

/** Runs a script in the project folder, with the project's own Node first, as `npm` scripts have it. */
function bash(script: string, url: string): Promise<{ readonly code: number | null; readonly output: string }> {
  const { PATH = '', HOME = '' } = process.env;
  const env = { PATH: `${dirname(process.execPath)}:${PATH}`, HOME, URL: url };
  const child = spawn('bash', ['-s'], { cwd: root, env, stdio: ['pipe', 'pipe', 'pipe'] });
  child.stdin.end(script);
  let output = '';
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (chunk: Buffer) => (output += chunk.toString()));
  return new Promise((settle, fail) => {
    child.once('error', fail);
    child.once('close', (code) => settle({ code, output }));
  });
}
