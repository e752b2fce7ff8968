// Requests per second through the service and through its peer (http-peer.mjs): the look-up of a claim's standing, and the filing of a
// claim. Both run as processes of their own on one PostgreSQL with fsync on; the service as in production (log level warn, request
// side only, so that no job works off beside it). Rounds alternate, and the ratio is the median over pairs of neighbouring rounds.
// Arguments: rounds (default 12), --unmatched to measure although the two send different statements, --profile FOLDER.
import { fork, spawn } from 'node:child_process';
import { randomUUID } from 'node:crypto';
import { chmodSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import net from 'node:net';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { APP_ROLE } from '../../dist/src/platform/db/data-source.js';
import { ask, get, post, send } from './http-load.mjs';
import { openScene } from './http-scene.mjs';

const ROUNDS = Number(process.argv.slice(2).find((word) => /^\d+$/.test(word)) ?? 12);
const LANES = 8;
const PER_ROUND = { lookup: 600, filing: 120 };
const WARM_UP_ROUNDS = { lookup: 5, filing: 4 };
const TARGETS = { lookup: 0.6, filing: 0.5 };
const root = fileURLToPath(new URL('../..', import.meta.url));
const profileAt = process.argv.indexOf('--profile');

const folder = mkdtempSync(path.join(tmpdir(), 'as-noted-bench-'));
chmodSync(folder, 0o711); // under root the database's account passes through
const filings = (WARM_UP_ROUNDS.filing + ROUNDS) * PER_ROUND.filing * 2 + 10;
console.log(`Preparing a house with ${filings} visits.`);
const scene = await openScene(path.join(folder, 'state'), filings);
const servers = [];
try {
  const { fsync, synchronous_commit: commit, version } = scene.settings;
  console.log(
    `PostgreSQL ${version}, fsync ${fsync}, synchronous_commit ${commit}; ${LANES} connections; Node ${process.version}`,
  );
  if (fsync !== 'on' || commit !== 'on') throw new Error('the database does not write through to disk');
  const ours = await startService();
  const job = await jobStatement(ours);
  const peer = await startPeer(job);
  const statements = await sameWork(ours, peer);
  const results = {};
  for (const kind of ['lookup', 'filing']) results[kind] = await measure(kind, ours, peer);
  for (const [kind, { ratio, perSecond, cpuMs }] of Object.entries(results)) {
    console.log(
      `${kind}: ${ratio.toFixed(2)} of the peer (target ${TARGETS[kind]}): ${perSecond.ours} against ${perSecond.peer} requests a second, ` +
        `${cpuMs.ours} against ${cpuMs.peer} ms of CPU each, ${statements[kind]} statements`,
    );
  }
  const ratios = Object.fromEntries(
    Object.entries(results).map(([kind, { ratio }]) => [kind, Number(ratio.toFixed(3))]),
  );
  const detail = { targets: TARGETS, statements, rounds: ROUNDS, connections: LANES, ...results };
  console.log(JSON.stringify({ bench: 'http', ratios, detail }));
} finally {
  for (const { child } of servers) await ended(child);
  await scene.close();
  rmSync(folder, { recursive: true, force: true });
}

async function startService() {
  const port = await freePort();
  const profile = profileAt === -1 ? [] : ['--cpu-prof', `--cpu-prof-dir=${process.argv[profileAt + 1]}`];
  const { PATH, HOME } = process.env;
  const env = {
    PATH,
    HOME,
    DATABASE_URL: scene.url,
    PORT: String(port),
    AS_NOTED_MODE: 'production',
    AS_NOTED_PUBLIC_URL: `http://127.0.0.1:${port}`,
    AS_NOTED_RUNS: 'api',
    AS_NOTED_LOG_LEVEL: 'warn',
    AS_NOTED_STATE: path.join(folder, 'state'),
  };
  const child = spawn(process.execPath, ['--enable-source-maps', ...profile, 'dist/src/main.js'], {
    cwd: root,
    env,
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  servers.push({ child });
  let said = '';
  child.stderr.on('data', (chunk) => (said += chunk));
  for (let tries = 0; tries < 300; tries += 1) {
    if (child.exitCode !== null) throw new Error(`the service did not start:\n${said}`);
    const answer = await ask(port, get('/readyz', {})).catch(() => undefined);
    if (answer?.status === 200) return { name: 'ours', port, pid: child.pid };
    await new Promise((settle) => setTimeout(settle, 100));
  }
  throw new Error(`the service was not ready in time:\n${said}`);
}

async function startPeer(addJob) {
  const child = fork(path.join(root, 'tests/bench/http-peer.mjs'), [
    JSON.stringify({ url: scene.url, role: APP_ROLE, addJob }),
  ]);
  servers.push({ child });
  const { port } = await new Promise((settle, fail) => {
    child.once('message', settle);
    child.once('exit', () => fail(new Error('the peer did not start')));
  });
  return { name: 'peer', port, pid: child.pid };
}

/** The job runner makes its own statement; the peer sends the same text. */
async function jobStatement(ours) {
  const sent = await scene.statementsOf('as-noted', () => once(ours, 'filing'));
  const found = sent.find(({ text }) => text.includes('INSERT INTO pgboss.job'));
  if (found === undefined) throw new Error('no job was added by a filing');
  return found.text;
}

/** Both must send the same statements: verb and tables, in order. @returns how many, by kind */
async function sameWork(ours, peer) {
  const counts = {};
  for (const kind of ['lookup', 'filing']) {
    await once(peer, kind);
    const left = (await scene.statementsOf('as-noted', () => once(ours, kind))).map(({ shape }) => shape);
    const right = (await scene.statementsOf('peer', () => once(peer, kind))).map(({ shape }) => shape);
    counts[kind] = left.length;
    if (left.join('\n') === right.join('\n')) continue;
    const told = `${kind}: the service sends\n  ${left.join('\n  ')}\nbut the peer\n  ${right.join('\n  ')}`;
    if (!process.argv.includes('--unmatched')) throw new Error(`${told}\nBring http-peer.mjs up to date.`);
    console.log(told);
  }
  return counts;
}

async function once(side, kind) {
  const { status, body } = await ask(side.port, request(kind));
  if (status !== (kind === 'lookup' ? 200 : 201)) throw new Error(`${side.name} answered ${status}: ${body}`);
}

function request(kind) {
  const authorization = `Bearer ${scene.key}`;
  if (kind === 'lookup') {
    scene.turn = ((scene.turn ?? -1) + 1) % scene.claims.length;
    return get(`/v1/claims/${scene.claims[scene.turn]}/standing`, { authorization });
  }
  const { visit, serial, inspection } = scene.ready.pop();
  return post(
    '/v1/claims',
    { authorization, 'idempotency-key': `"${randomUUID()}"` },
    {
      visitId: visit,
      serial,
      inspectionId: inspection,
      ground: 'damage',
      words: 'Left rail bent where the carton was pushed in.',
      noticedAt: '2026-11-20T15:00:00Z',
      file: true,
    },
  );
}

async function measure(kind, ours, peer) {
  const rates = { ours: [], peer: [] };
  const cpu = { ours: 0, peer: 0 };
  const pairs = [];
  for (let n = -WARM_UP_ROUNDS[kind]; n < ROUNDS; n += 1) {
    // Who goes first changes from pair to pair, so that a drift favours nobody.
    for (const side of n % 2 === 0 ? [ours, peer] : [peer, ours]) {
      const requests = Array.from({ length: PER_ROUND[kind] }, () => request(kind));
      const before = cpuSeconds(side.pid);
      const rate = await send(side.port, requests, (status) => status === (kind === 'lookup' ? 200 : 201), LANES);
      if (n < 0) continue;
      cpu[side.name] += cpuSeconds(side.pid) - before;
      rates[side.name].push(rate);
    }
    if (n >= 0) pairs.push(rates.ours.at(-1) / rates.peer.at(-1));
  }
  const each = (name) => Number(((cpu[name] * 1000) / (ROUNDS * PER_ROUND[kind])).toFixed(3));
  return {
    ratio: median(pairs),
    spread: [Math.min(...pairs), Math.max(...pairs)].map((ratio) => Number(ratio.toFixed(3))),
    perSecond: { ours: Math.round(median(rates.ours)), peer: Math.round(median(rates.peer)) },
    cpuMs: { ours: each('ours'), peer: each('peer') },
  };
}

/** User and system time of a process on Linux (proc(5), fields 14 and 15, in hundredths of a second); elsewhere not known. */
function cpuSeconds(pid) {
  try {
    const stat = readFileSync(`/proc/${pid}/stat`, 'utf8');
    const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
    return (Number(fields[11]) + Number(fields[12])) / 100;
  } catch {
    return Number.NaN;
  }
}

function median(values) {
  const sorted = values.toSorted((a, b) => a - b);
  const middle = sorted.length / 2;
  return sorted.length % 2 === 1 ? sorted[Math.floor(middle)] : (sorted[middle - 1] + sorted[middle]) / 2;
}

function freePort() {
  return new Promise((settle) => {
    const server = net.createServer().listen(0, '127.0.0.1', () => {
      const { port } = server.address();
      server.close(() => settle(port));
    });
  });
}

function ended(child) {
  return new Promise((settle) => {
    if (child.exitCode !== null || child.signalCode !== null) return settle();
    child.once('exit', settle);
    child.kill('SIGTERM');
  });
}
