// The slow stage: tests that take minutes, or need programs of the machine (Swift, ExifTool), which they install under root on Debian
// and otherwise skip, saying so. Arguments go to vitest: npm run test:slow -- tests/slow/swift.spec.ts
import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));
const folder = mkdtempSync(path.join(tmpdir(), 'as-noted-slow-'));
const tallyFile = path.join(folder, 'tally.json');

try {
  const code = await runVitest(process.argv.slice(2));
  const tally = existsSync(tallyFile)
    ? JSON.parse(readFileSync(tallyFile, 'utf8'))
    : { passed: 0, failed: 1, skipped: 0, files: [] };
  for (const { name, ms } of tally.files.toSorted((a, b) => b.ms - a.ms))
    process.stdout.write(`  ${(ms / 1000).toFixed(1).padStart(6)} s  ${name}\n`);
  process.stdout.write(`\nslow: ${tally.passed} passed, ${tally.failed} failed, ${tally.skipped} skipped\n`);
  process.exitCode = code === 0 && tally.failed === 0 ? 0 : 1;
} finally {
  rmSync(folder, { recursive: true, force: true });
}

/** @returns {Promise<number>} exit code */
function runVitest(args) {
  const packaged = path.join(root, 'node_modules/.bin/node');
  const vitest = path.join(root, 'node_modules/vitest/vitest.mjs');
  const options = ['run', '--config', '.config/vitest.config.ts', '--project', 'slow'];
  const reporters = ['--reporter=default', '--reporter=./.config/tally-reporter.mjs'];
  const child = spawn(existsSync(packaged) ? packaged : process.execPath, [vitest, ...options, ...reporters, ...args], {
    cwd: root,
    stdio: ['ignore', 'inherit', 'inherit'],
    env: { ...process.env, TEST_SLOW: '1', TEST_TALLY_FILE: tallyFile },
  });
  return new Promise((settle) => {
    child.once('error', () => settle(1));
    child.once('close', (code) => settle(code ?? 1));
  });
}
