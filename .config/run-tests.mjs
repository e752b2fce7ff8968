// The whole suite: once with the packaged PostgreSQL, then the tests of storage and routes once more with an installed one, if there is
// one of another version. Arguments go to vitest and make it a single run: npm test -- tests/store/claims.spec.ts
import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));
const given = process.argv.slice(2);
const reports = mkdtempSync(path.join(tmpdir(), 'as-noted-report-'));
const say = (line) => process.stdout.write(`${line}\n`);

try {
  const runs = [await runVitest('first', given, {})];
  if (given.length === 0) {
    const second = await secondRun();
    if (second !== undefined) runs.push(second);
  }
  report(runs);
  process.exitCode = runs.every(({ code }) => code === 0) ? 0 : 1;
} finally {
  rmSync(reports, { recursive: true, force: true });
}

/** The oldest supported server shows what the newest forgives, so storage and routes run on it as well. */
async function secondRun() {
  const folders = ['tests/store', 'tests/http'].filter((folder) => existsSync(path.join(root, folder)));
  if (folders.length === 0) return undefined;
  if (process.env.TEST_DATABASE_URL)
    return void say('\nNo second run: TEST_DATABASE_URL names the one server to test with.');
  const built = (file) => import(pathToFileURL(path.join(root, 'dist/src/platform/postgres', file)).href);
  const { systemSets, embeddedSet } = await built('find-binaries.js');
  const { chooseBinaries } = await built('choose-binaries.js');
  const sets = await systemSets();
  const chosen = chooseBinaries({ sets, only: 'system', dataDir: '', platform: '', unusable: [] });
  if (!chosen.ok) return void say('\nNo second run: no PostgreSQL 15 or newer is installed on this machine.');
  const { major } = chosen.set.version;
  if (embeddedSet()?.version.major === major)
    return void say(`\nNo second run: the installed PostgreSQL ${major} is of the packaged version.`);
  say(`\nOnce more with the installed PostgreSQL ${major}: ${folders.join(' and ')}`);
  return runVitest('second', ['--project', 'db', ...folders], { TEST_SERVER: 'system' });
}

async function runVitest(name, args, env) {
  const file = path.join(reports, `${name}.json`);
  const vitest = path.join(root, 'node_modules/vitest/vitest.mjs');
  const reporters = ['--reporter=default', '--reporter=./.config/tally-reporter.mjs'];
  const options = ['run', '--config', '.config/vitest.config.ts', ...reporters];
  const child = spawn(nodeProgram(), [vitest, ...options, ...args], {
    cwd: root,
    stdio: ['ignore', 'inherit', 'inherit'],
    env: { ...process.env, ...env, TEST_TALLY_FILE: file },
  });
  const code = await new Promise((settle) => {
    child.once('error', () => settle(1));
    child.once('close', settle);
  });
  // A run that ends without a tally was cut off, which is a failure, too.
  const tally = existsSync(file)
    ? JSON.parse(readFileSync(file, 'utf8'))
    : { passed: 0, failed: code === 0 ? 0 : 1, skipped: 0, files: [] };
  return { code, tally };
}

/** The packaged Node, also when this file was started by an older one. */
function nodeProgram() {
  const packaged = path.join(root, 'node_modules/.bin/node');
  return existsSync(packaged) ? packaged : process.execPath;
}

function report(runs) {
  const files = runs.flatMap(({ tally }) => tally.files);
  say('\nSlowest files:');
  for (const { name, ms } of files.toSorted((a, b) => b.ms - a.ms).slice(0, 10))
    say(`  ${(ms / 1000).toFixed(1).padStart(6)} s  ${name}`);
  const total = (count) => runs.reduce((sum, { tally }) => sum + tally[count], 0);
  say(`\n${total('passed')} passed, ${total('failed')} failed, ${total('skipped')} skipped`);
}
