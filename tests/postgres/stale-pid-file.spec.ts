import { spawn } from 'node:child_process';
import { chownSync, statSync } from 'node:fs';
import { readFile, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { createInterface } from 'node:readline';
import { beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import { withClient } from '../../src/platform/postgres/connection.js';
import type { PrivateServer } from '../../src/platform/postgres/private-server.js';
import { processFacts } from '../../src/platform/postgres/process-facts.js';
import { cleanUpAfterAll, dataDirOf, freshState, serverPid, start, waitUntilEnded } from './state-folders.js';

describe('a pid file that was left over', () => {
  cleanUpAfterAll();
  let options: ReturnType<typeof freshState>;
  let server: PrivateServer;
  beforeAll(async () => {
    options = freshState();
    server = await start(options);
    await withClient(server.url, (client) => client.query('create table kept as select 42 as answer'));
  });

  /** Stops the server, puts a pid file there that names the process, and starts again. */
  async function startOver(pid: number | undefined) {
    const file = path.join(dataDirOf(server), 'postmaster.pid');
    const text = await readFile(file, 'utf8');
    await server.stop();
    await writeFile(file, pid === undefined ? '' : text.replace(/^\d+/, String(pid)), { mode: 0o600 });
    const { uid, gid } = statSync(dataDirOf(server));
    chownSync(file, uid, gid);
    options.progress.length = 0;
    server = await start(options);
    return { said: options.progress.join('\n'), rows: await keptRows(server.url), pid: await serverPid(server) };
  }

  it('by a killed server does not stop the next start, and nothing committed is lost', async () => {
    const durable = freshState({ settings: {} }); // fsync on, as in use
    const first = await start(durable);
    await withClient(first.url, (client) => client.query('create table kept as select 42 as answer'));
    const pid = await serverPid(first);
    process.kill(pid, 'SIGKILL');
    await waitUntilEnded(pid);
    const second = await start(durable);
    expect(second.attached).toBe(false);
    expect(await keptRows(second.url)).toEqual(KEPT);
  });

  it('is removed when it names a process that is gone', async () => {
    const gone = spawn(process.execPath, ['--version'], { stdio: 'ignore' });
    await new Promise((settle) => gone.once('exit', settle));
    expect(await startOver(gone.pid)).toMatchObject({ said: expect.stringContaining('is gone') as string, rows: KEPT });
  });

  it('is removed when it names an unrelated process', async () => {
    const { said, rows, pid } = await startOver(process.pid);
    expect(said).toContain(`process ${process.pid} is `);
    expect(said).toContain('not PostgreSQL');
    expect(rows).toEqual(KEPT);
    expect(pid).not.toBe(process.pid);
  });

  it('is removed when it names the server of another folder, which goes on', async () => {
    const other = await start(freshState());
    const otherPid = await serverPid(other);
    const { said, rows } = await startOver(otherPid);
    expect(said).toContain('is the PostgreSQL of another folder');
    expect(rows).toEqual(KEPT);
    expect(processFacts(otherPid)).toMatchObject({ zombie: false });
  });

  it.runIf(process.platform === 'linux')('is removed when it names a zombie', async () => {
    // The inner shell ends as soon as its parent has become a `sleep`, which never collects it.
    const inner = 'while [ "$(cat /proc/$PPID/comm)" != sleep ]; do :; done';
    const line = `sh -c '${inner}' & echo $!; exec sleep 600`;
    const parent = spawn('/bin/sh', ['-c', line], { stdio: ['ignore', 'pipe', 'ignore'] });
    onTestFinished(() => void parent.kill('SIGKILL'));
    const pid = Number(await new Promise<string>((settle) => createInterface(parent.stdout).once('line', settle)));
    await expect.poll(() => processFacts(pid)?.zombie, { timeout: 10_000 }).toBe(true);
    const { said, rows } = await startOver(pid);
    expect(said).toContain('has ended and was not collected');
    expect(rows).toEqual(KEPT);
  });

  it('is removed when it is empty', async () => {
    const { said, rows } = await startOver(undefined);
    expect(said).toContain('names no process');
    expect(rows).toEqual(KEPT);
  });
});

const KEPT = [{ answer: 42 }];

function keptRows(url: string): Promise<unknown[]> {
  return withClient(url, async (client) => (await client.query('select answer from kept')).rows);
}
