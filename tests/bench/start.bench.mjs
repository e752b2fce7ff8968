// How long `npm start` takes on a checkout that is built and whose samples are loaded, from the command to /readyz, by phase: npm with its
// check of the checkout, then the parts that the last line of the start tells (loading the program, database, migrations, a look at the
// samples, wiring and listening). One cold start (new state folder,
// samples loaded) comes first, for information. Arguments: number of warm starts (default 5).
import { spawn } from 'node:child_process';
import { chmodSync, mkdtempSync, rmSync } from 'node:fs';
import { cpus, loadavg, tmpdir } from 'node:os';
import path from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { stopPrivateServer } from '../../dist/src/platform/postgres/private-server.js';

const root = fileURLToPath(new URL('../..', import.meta.url));
const WARM_STARTS = Number(process.argv[2] ?? 5);
const TARGET_SECONDS = 6;
const PORT = 4390;
const GIVE_UP_MS = 120_000;

/** What npm prints when it has checked the checkout and starts the service. */
const STARTED = /^> as-noted@\S+ start$/;
/** The last line of the start, with its parts in seconds. */
const READY = /^Ready after [\d.]+ s \((.+)\)/;

const state = mkdtempSync(path.join(tmpdir(), 'as-noted-start-bench-'));
chmodSync(state, 0o711); // under root the database's account passes through
try {
  const cold = await startOnce();
  print('cold', cold);
  const warm = [];
  for (let n = 1; n <= WARM_STARTS; n += 1) {
    warm.push(await startOnce());
    print(`warm ${n}`, warm.at(-1));
  }
  const median = (pick) => warm.map(pick).toSorted((a, b) => a - b)[Math.floor((warm.length - 1) / 2)];
  const seconds = median(({ readySeconds }) => readySeconds);
  const phases = Object.fromEntries(
    Object.keys(cold.phases).map((name) => [name, median((each) => each.phases[name])]),
  );
  const detail = {
    secondsToReady: seconds,
    phases,
    secondsToStop: median(({ stopSeconds }) => stopSeconds),
    coldSeconds: cold.readySeconds,
    starts: warm.length,
    cores: cpus().length,
    load: Number(loadavg()[0].toFixed(1)),
  };
  console.log(JSON.stringify({ bench: 'start', ratios: { ofTarget: round(seconds / TARGET_SECONDS) }, detail }));
} finally {
  // Only a start that failed half-way leaves it up.
  await stopPrivateServer({ stateDir: state, onProgress: () => {}, force: true });
  rmSync(state, { recursive: true, force: true });
}

/** Starts with npm, waits for /readyz, stops with Ctrl-C's signal. */
async function startOnce() {
  const began = performance.now();
  const since = () => round((performance.now() - began) / 1000);
  // Without what the npm around this one has set, which might have been told to be silent.
  const inherited = Object.entries(process.env).filter(([name]) => !/^(npm_|AS_NOTED_|DATABASE_URL$)/i.test(name));
  const env = { ...Object.fromEntries(inherited), AS_NOTED_STATE: state, PORT: String(PORT), AS_NOTED_MODE: 'sample' };
  const child = spawn('npm', ['start'], { cwd: root, env, stdio: ['ignore', 'pipe', 'pipe'], detached: true });
  const ended = new Promise((resolve) => void child.on('close', resolve));
  const told = {};
  let heard = '';
  const listen = (chunk) => {
    heard += chunk;
    for (const line of heard.split('\n')) {
      if (STARTED.test(line)) told.prepared ??= since();
      told.parts ??= READY.exec(line)?.[1];
    }
  };
  child.stdout.on('data', listen);
  child.stderr.on('data', listen);
  try {
    while (!(await ready())) {
      if (child.exitCode !== null || performance.now() - began > GIVE_UP_MS)
        throw new Error(`npm start did not come up:\n${heard}`);
      await pause(20);
    }
    const readySeconds = since();
    // The line comes a moment after the port is open.
    for (let tries = 0; tries < 1000 && told.parts === undefined; tries += 1) await pause(5);
    if (told.prepared === undefined || told.parts === undefined)
      throw new Error(`npm start did not tell its parts:\n${heard}`);
    const stopping = performance.now();
    process.kill(-Number(child.pid), 'SIGINT');
    await ended;
    const parts = told.parts.split(', ').map((part) => [part.split(' ')[0], Number(part.split(' ')[1])]);
    const phases = { 'npm and the checkout': told.prepared, ...Object.fromEntries(parts) };
    return { readySeconds, phases, stopSeconds: round((performance.now() - stopping) / 1000) };
  } finally {
    endGroup(child.pid);
  }
}

/** The whole group, if any of it is left. */
function endGroup(pid) {
  try {
    process.kill(-pid, 'SIGKILL');
  } catch (error) {
    if (error.code !== 'ESRCH') throw error;
  }
}

async function ready() {
  try {
    return (await fetch(`http://127.0.0.1:${PORT}/readyz`, { signal: AbortSignal.timeout(1000) })).ok;
  } catch {
    return false;
  }
}

function print(name, { readySeconds, phases, stopSeconds }) {
  const parts = Object.entries(phases).map(([phase, seconds]) => `${phase} ${seconds} s`);
  console.log(`${name.padEnd(7)} ready after ${readySeconds} s (${parts.join(', ')}); stopped in ${stopSeconds} s`);
}

function round(seconds) {
  return Number(seconds.toFixed(2));
}
