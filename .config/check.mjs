// The whole gate, here and in CI. Every step runs, whatever the ones before it said; the end is red when one was.
// --without NAME leaves a step out and may be repeated.
import { spawnSync } from 'node:child_process';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { manifestFaults } from './manifest.mjs';

const root = fileURLToPath(new URL('..', import.meta.url));
const bin = path.join(root, 'node_modules', '.bin');
const node = (...args) => program(process.execPath, args);
const npmScript = (name) => program('npm', ['run', '--silent', name]);

const STEPS = [
  ['prepare', () => node('.config/prepare.mjs', '--tests', '--quiet')],
  ['manifest', manifest],
  ['format', () => npmScript('format:check')],
  ['types', () => npmScript('types')],
  ['lint', () => npmScript('lint')],
  [
    'architecture',
    () =>
      program(path.join(bin, 'vitest'), [
        'run',
        '--config',
        '.config/vitest.config.ts',
        '--project',
        'unit',
        'tests/architecture.spec.ts',
      ]),
  ],
  ['tests', () => node('.config/run-tests.mjs')],
];

const left = process.argv.flatMap((word, i) => (process.argv[i - 1] === '--without' ? [word] : []));
const unknown = left.filter((name) => !STEPS.some(([step]) => step === name));
if (unknown.length > 0) {
  process.stderr.write(
    `There is no step ${unknown.join(', ')}; the steps are ${STEPS.map(([name]) => name).join(', ')}.\n`,
  );
  process.exit(2);
}

const results = STEPS.filter(([name]) => !left.includes(name)).map(([name, step]) => {
  process.stdout.write(`\n== ${name}\n`);
  const from = performance.now();
  const ok = step();
  return { name, ok, seconds: (performance.now() - from) / 1000 };
});

process.stdout.write('\n');
for (const { name, ok, seconds } of results)
  process.stdout.write(`${ok ? 'ok    ' : 'FAILED'} ${name.padEnd(12)} ${seconds.toFixed(1).padStart(6)} s\n`);
process.exitCode = results.every(({ ok }) => ok) ? 0 : 1;

function manifest() {
  const faults = manifestFaults();
  for (const fault of faults) process.stdout.write(`${fault}\n`);
  return faults.length === 0;
}

function program(file, args) {
  const env = { ...process.env, PATH: `${bin}${path.delimiter}${process.env.PATH ?? ''}` };
  const { status, error } = spawnSync(file, args, {
    cwd: root,
    stdio: ['ignore', 'inherit', 'inherit'],
    env,
    shell: process.platform === 'win32',
  });
  if (error !== undefined) process.stdout.write(`${error.message}\n`);
  return status === 0;
}
