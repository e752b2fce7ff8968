import { spawn } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';

const config = path.join(import.meta.dirname, '../.config');
// Stands for the compiler: notes that it ran and writes what it "compiled".
const COMPILER = `
const fs = require('node:fs');
fs.appendFileSync('builds', 'x');
if (fs.readFileSync('src/main.ts', 'utf8').includes('broken')) { console.log('main.ts(1,1): error'); process.exit(2); }
fs.mkdirSync('dist/src', { recursive: true });
for (const file of fs.readdirSync('src')) fs.writeFileSync('dist/src/' + file.replace('.ts', '.js'), '');
`;

const SCRIPTS = { build: 'node compiler.cjs', 'build:pages': 'node builder.cjs' };

// Stands for the builder of the pages.
const BUILDER = `
const fs = require('node:fs');
fs.appendFileSync('page-builds', 'x');
for (const file of ['crew/worker.js', 'preview/index.html', 'desk/.vite/manifest.json']) {
  fs.mkdirSync(require('node:path').dirname('dist/web/' + file), { recursive: true });
  fs.writeFileSync('dist/web/' + file, '');
}
`;

/** A checkout with the real preparation and a project so small that npm needs no network for it. */
function checkout() {
  const root = mkdtempSync(path.join(tmpdir(), 'as-noted-checkout-'));
  onTestFinished(() => rmSync(root, { recursive: true, force: true }));
  const write = (file: string, text: string): void => {
    mkdirSync(path.dirname(path.join(root, file)), { recursive: true });
    writeFileSync(path.join(root, file), text);
  };
  const json = (file: string, value: unknown): void => write(file, JSON.stringify(value));
  for (const file of ['prepare.mjs', 'one-at-a-time.mjs'])
    cpSync(path.join(config, file), path.join(root, '.config', file));
  json('package.json', { name: 'small', version: '1.0.0', scripts: SCRIPTS, dependencies: {} });
  json('package-lock.json', {
    name: 'small',
    version: '1.0.0',
    lockfileVersion: 3,
    packages: { '': { name: 'small' } },
  });
  json('node_modules/.package-lock.json', { packages: {} });
  json('tsconfig.json', {});
  json('.config/tsconfig.build.json', {});
  write('compiler.cjs', COMPILER);
  write('builder.cjs', BUILDER);
  write('migrations/all.ts', '');
  write('src/main.ts', 'first');
  const count = (file: string): number =>
    existsSync(path.join(root, file)) ? readFileSync(path.join(root, file)).length : 0;
  const builds = (): number => count('builds');
  return {
    root,
    write,
    json,
    builds,
    pageBuilds: () => count('page-builds'),
    has: (file: string) => existsSync(path.join(root, file)),
  };
}

function prepare(root: string): Promise<{ code: number | null; said: string }> {
  return new Promise((settle) => {
    const script = path.join(root, '.config/prepare.mjs');
    const child = spawn(process.execPath, [script], { stdio: ['ignore', 'ignore', 'pipe'] });
    let said = '';
    child.stderr.on('data', (chunk: Buffer) => (said += chunk.toString()));
    child.once('close', (code) => settle({ code, said }));
  });
}

// Starts several programs each time; on a busy machine that takes longer than a test is given.
describe('preparing a checkout', { timeout: 60_000 }, () => {
  it('builds once, then again only after a change', async () => {
    const { root, write, builds } = checkout();
    expect(await prepare(root)).toEqual({ code: 0, said: 'Building the service.\nBuilding the pages.\n' });
    expect(await prepare(root)).toEqual({ code: 0, said: '' });
    expect(builds()).toBe(1);
    write('src/main.ts', 'second');
    await prepare(root);
    expect(builds()).toBe(2);
    write('src/main.spec.ts', 'tests are not built');
    await prepare(root);
    expect(builds()).toBe(2);
  });

  it('builds the pages again when something that they show changes, and only then', async () => {
    const { root, write, builds, pageBuilds } = checkout();
    write('src/web/desk-app/desk.css', 'a {}');
    await prepare(root);
    await prepare(root);
    expect([builds(), pageBuilds()]).toEqual([1, 1]);
    write('src/web/desk-app/desk.css', 'b {}');
    await prepare(root);
    expect([builds(), pageBuilds()]).toEqual([1, 2]);
    rmSync(path.join(root, 'dist/web/crew'), { recursive: true });
    await prepare(root);
    expect([builds(), pageBuilds()]).toEqual([1, 3]);
  });

  it('removes what was built from a file that is gone', async () => {
    const { root, write, has } = checkout();
    write('src/old.ts', '');
    await prepare(root);
    expect(has('dist/src/old.js')).toBe(true);
    rmSync(path.join(root, 'src/old.ts'));
    await prepare(root);
    expect([has('dist/src/old.js'), has('dist/src/main.js')]).toEqual([false, true]);
  });

  it('lets two at once build once', async () => {
    const { root, builds } = checkout();
    const ends = await Promise.all([prepare(root), prepare(root), prepare(root)]);
    expect(ends.map(({ code }) => code)).toEqual([0, 0, 0]);
    expect(builds()).toBe(1);
  });

  it('takes over the lock of one that died', async () => {
    const { root, json } = checkout();
    json('.state/prepare.lock', { pid: process.pid, startedAt: 'another boot:1', token: 'dead' });
    expect((await prepare(root)).code).toBe(0);
  });

  it('says that the sources do not compile, with the compiler’s words, and tries again the next time', async () => {
    const { root, write, builds } = checkout();
    write('src/main.ts', 'broken');
    const { code, said } = await prepare(root);
    expect(code).toBe(1);
    expect(said).toContain('The sources do not compile:\nmain.ts(1,1): error');
    await prepare(root);
    expect(builds()).toBe(2);
  });

  it('installs when a package is missing or has another version, not when it was made for another platform', async () => {
    const { root, json } = checkout();
    const lock = (installed: Record<string, unknown>, wanted: Record<string, unknown>): void => {
      json('node_modules/.package-lock.json', { packages: installed });
      json('package-lock.json', { name: 'small', lockfileVersion: 3, packages: { '': {}, ...wanted } });
    };
    const a = (version: string) => ({ 'node_modules/a': { version, integrity: `sha512-${version}` } });
    lock(a('1.0.0'), { ...a('1.0.0'), 'node_modules/b': { version: '2.0.0', optional: true } });
    expect((await prepare(root)).said).not.toContain('npm ci');
    lock(a('1.0.0'), a('1.0.1'));
    json('here/package.json', { name: 'here', version: '1.0.0' });
    json('package.json', { name: 'small', version: '1.0.0', dependencies: { here: 'file:here' } });
    const { code, said } = await prepare(root);
    expect(said).toContain('Installing packages with npm ci');
    // npm refuses, because the lock file does not hold what package.json asks for: our sentence comes first, npm's words after it.
    expect(said).toContain('package.json and package-lock.json do not agree.');
    expect(code).toBe(1);
  });

  it('says so when package-lock.json is not there', async () => {
    const { root } = checkout();
    rmSync(path.join(root, 'package-lock.json'));
    expect(await prepare(root)).toEqual({
      code: 1,
      said: 'package-lock.json is missing or broken; check the files out again.\n',
    });
  });
});
