// Runs one benchmark: npm run bench -- NAME [arguments]. A benchmark is tests/bench/NAME.bench.mjs (or .ts); it prints what it likes and,
// last, one line of JSON: {"bench":"NAME","ratios":{…},"detail":{…}}. Ratios compare within one run and travel between machines;
// seconds in detail do not. Exit codes: 0 measured, 1 the benchmark failed, 2 no such benchmark.
import { spawn } from 'node:child_process';
import { existsSync, readdirSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));
const folder = path.join(root, 'tests', 'bench');
const names = existsSync(folder)
  ? readdirSync(folder).flatMap((file) => /^([a-z-]+)\.bench\.(?:mjs|ts)$/.exec(file)?.[1] ?? [])
  : [];
const [name, ...rest] = process.argv.slice(2);

if (!names.includes(name)) {
  process.stderr.write(`Name a benchmark: ${names.join(', ') || 'there are none yet'}.\n`);
  process.exitCode = 2;
} else {
  process.exitCode = await measure(name, rest);
}

/** Runs the benchmark under the project's own Node and checks that its last line is what it must be. */
async function measure(bench, args) {
  const file = ['mjs', 'ts'].map((end) => path.join(folder, `${bench}.bench.${end}`)).find((each) => existsSync(each));
  const node = path.join(root, 'node_modules', '.bin', 'node');
  const child = spawn(existsSync(node) ? node : process.execPath, ['--enable-source-maps', file, ...args], {
    cwd: root,
    stdio: ['inherit', 'pipe', 'inherit'],
  });
  let tail = '';
  child.stdout.on('data', (chunk) => {
    process.stdout.write(chunk);
    tail = (tail + chunk).slice(-65_536);
  });
  for (const signal of ['SIGINT', 'SIGTERM']) process.on(signal, () => child.kill(signal));
  const code = await new Promise((resolve) => {
    child.on('error', () => resolve(1));
    child.on('close', resolve);
  });
  if (code !== 0) return 1;
  const last = tail.trimEnd().split('\n').at(-1);
  try {
    const result = JSON.parse(last);
    if (result.bench === bench && typeof result.ratios === 'object' && typeof result.detail === 'object') return 0;
  } catch {
    // Said below: a line that is no JSON is as wrong as one of another shape.
  }
  process.stderr.write(`The last line of ${bench} is not {"bench":"${bench}","ratios":{…},"detail":{…}}.\n`);
  return 1;
}
