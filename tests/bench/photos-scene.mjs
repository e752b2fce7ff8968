// The stage of the photos benchmark beside that of the http benchmark: the service with its jobs, links for crews, and memory.
import { spawn } from 'node:child_process';
import { createHash, randomBytes } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import net from 'node:net';
import { fileURLToPath } from 'node:url';
import pg from 'pg';
import { ask, get } from './http-load.mjs';

const root = fileURLToPath(new URL('../..', import.meta.url));

/** The service as in production, requests and jobs in one process. */
export async function startService(url, state) {
  const port = await freePort();
  const { PATH, HOME } = process.env;
  const env = {
    PATH,
    HOME,
    DATABASE_URL: url,
    PORT: String(port),
    AS_NOTED_MODE: 'production',
    AS_NOTED_PUBLIC_URL: `http://127.0.0.1:${port}`,
    AS_NOTED_LOG_LEVEL: 'warn',
    AS_NOTED_STATE: state,
  };
  const options = { cwd: root, env, stdio: ['ignore', 'ignore', 'pipe'] };
  const child = spawn(process.execPath, ['--enable-source-maps', 'dist/src/main.js'], options);
  let said = '';
  child.stderr.on('data', (chunk) => (said += chunk));
  const ended = new Promise((settle) => void child.once('close', settle));
  for (let tries = 0; tries < 300; tries += 1) {
    if (child.exitCode !== null) throw new Error(`the service did not start:\n${said}`);
    const answer = await ask(port, get('/readyz', {})).catch(() => undefined);
    if (answer?.status === 200) {
      const stop = async () => {
        child.kill('SIGTERM');
        await ended;
      };
      return { port, pid: child.pid, stop };
    }
    await new Promise((settle) => setTimeout(settle, 100));
  }
  throw new Error(`the service was not ready in time:\n${said}`);
}

function freePort() {
  return new Promise((settle) => {
    const server = net.createServer().listen(0, '127.0.0.1', () => {
      const { port } = server.address();
      server.close(() => settle(port));
    });
  });
}

/** A crew's link to a visit as the service would make it: only the hash of its secret is kept. @returns the text of the link */
export async function crewLink(url, visit) {
  const text = `anl_${randomBytes(32).toString('base64url')}`;
  const client = new pg.Client({ connectionString: url, application_name: 'bench' });
  await client.connect();
  await client.query(
    `insert into visit_link (tenant_id, visit_id, token_hash, crew_name, created_by, expires_at)
     select tenant_id, id, $2, 'Bench', 'bench', now() + interval '1 day' from visit where id = $1`,
    [visit, createHash('sha256').update(text).digest()],
  );
  await client.end();
  return text;
}

/** Resident memory of a process and its children, in MB: an upper bound, for what they share is counted for each. Linux only, else 0. */
export function memoryOf(pid) {
  if (process.platform !== 'linux') return 0;
  const own = [pid, ...childrenOf(pid)];
  return Math.round(own.reduce((sum, each) => sum + residentKb(each), 0) / 1024);
}

function childrenOf(pid) {
  return readdirSync('/proc').filter((name) => /^\d+$/.test(name) && parentOf(name) === pid);
}

function parentOf(pid) {
  const [, after = ''] = read(`/proc/${pid}/stat`).split(') ');
  return Number(after.split(' ')[1]);
}

function residentKb(pid) {
  return Number(/VmRSS:\s+(\d+) kB/.exec(read(`/proc/${pid}/status`))?.[1] ?? 0);
}

/** Empty for a process that has just ended. */
function read(file) {
  try {
    return readFileSync(file, 'utf8');
  } catch {
    return '';
  }
}
