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
  if (process.env.AS_NOTED_TEST_DATABASE_URL)
    return void say('\nNo second run: AS_NOTED_TEST_DATABASE_URL names the one server to test with.');
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
  return runVitest('second', ['--project', 'db', ...folders], { AS_NOTED_TEST_SERVER: 'system' });
}

async function runVitest(name, args, env) {
  const file = path.join(reports, `${name}.json`);
  const vitest = path.join(root, 'node_modules/vitest/vitest.mjs');
  const options = [
    'run',
    '--config',
    '.config/vitest.config.ts',
    '--reporter=default',
    '--reporter=json',
    `--outputFile.json=${file}`,
  ];
  const child = spawn(nodeProgram(), [vitest, ...options, ...args], {
    cwd: root,
    stdio: ['ignore', 'inherit', 'inherit'],
    env: { ...process.env, ...env },
  });
  const code = await new Promise((settle) => {
    child.once('error', () => settle(1));
    child.once('close', settle);
  });
  const found = existsSync(file) ? JSON.parse(readFileSync(file, 'utf8')) : undefined;
  return { name, code, found };
}

/** The packaged Node, also when this file was started by an older one. */
function nodeProgram() {
  const packaged = path.join(root, 'node_modules/.bin/node');
  return existsSync(packaged) ? packaged : process.execPath;
}

function report(runs) {
  const files = runs.flatMap(({ found }) => found?.testResults ?? []);
  const seconds = ({ startTime, endTime }) => (endTime - startTime) / 1000;
  say('\nSlowest files:');
  for (const file of files.toSorted((a, b) => seconds(b) - seconds(a)).slice(0, 10))
    say(`  ${seconds(file).toFixed(1).padStart(6)} s  ${path.relative(root, file.name)}`);
  const total = (count) => runs.reduce((sum, { found }) => sum + (found === undefined ? 0 : count(found)), 0);
  const passed = total((found) => found.numPassedTests);
  const skipped = total((found) => found.numPendingTests + found.numTodoTests);
  // A file that cannot be read and a run that ends without a report hold no failed test, but they are failures.
  const unread = files.filter(
    ({ status, assertionResults }) => status === 'failed' && assertionResults.every((each) => each.status !== 'failed'),
  );
  const failed = total((found) => found.numFailedTests) + unread.length;
  const silent = runs.filter(({ code }) => code !== 0).length > 0 && failed === 0 ? 1 : 0;
  if (silent) say('The run ended with an error outside the tests; see above.');
  say(`\n${passed} passed, ${failed + silent} failed, ${skipped} skipped`);
}
