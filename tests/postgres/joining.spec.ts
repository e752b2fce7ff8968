import { readFileSync } from 'node:fs';
import { writeFile } from 'node:fs/promises';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { dbDown, dbUp } from '../../src/cli/verbs/db.js';
import { askVersion, withClient } from '../../src/platform/postgres/connection.js';
import { processFacts } from '../../src/platform/postgres/process-facts.js';
import {
  cleanUpAfterEach,
  freshState,
  runStarter,
  serverPid,
  start,
  startElsewhere,
  waitUntilEnded,
} from './state-folders.js';

const home = (stateDir: string) => ({ home: path.join(stateDir, 'postgres') });
const refused = { code: 'ECONNREFUSED' };

describe('several processes and one private server', () => {
  cleanUpAfterEach();

  it('two starts at once give one server', async () => {
    const options = freshState();
    const both = [startElsewhere(options), startElsewhere(options)];
    const ups = await Promise.all(both.map(({ up }) => up));
    expect(ups.filter(({ attached }) => attached)).toHaveLength(1);
    expect(ups[0]?.url).toBe(ups[1]?.url);
  });

  it('the server outlives the one that started it while another uses it, and ends with the last', async () => {
    const options = freshState();
    const starter = startElsewhere(options);
    const { url } = await starter.up;
    const guest = startElsewhere(options);
    expect(await guest.up).toEqual({ url, attached: true });
    const pid = await serverPid(home(options.stateDir));
    expect(await starter.end('SIGINT')).toBe(0);
    expect((await askVersion(url)).major).toBeGreaterThanOrEqual(15);
    expect(await guest.end('SIGTERM')).toBe(0);
    await waitUntilEnded(pid);
    await expect(askVersion(url)).rejects.toMatchObject(refused);
  });

  it('a killed starter loses nothing: the next one joins and takes over', async () => {
    const options = freshState();
    const starter = startElsewhere(options);
    const { url } = await starter.up;
    await withClient(url, (client) => client.query('create table kept as select 42 as answer'));
    await starter.end('SIGKILL');
    const next = await start(options);
    expect(next).toMatchObject({ url, attached: true });
    const rows = await withClient(url, async (client) => (await client.query('select answer from kept')).rows);
    expect(rows).toEqual([{ answer: 42 }]);
    const pid = await serverPid(next);
    await next.stop(); // the killed one does not count as a user any more
    await waitUntilEnded(pid);
  });

  it('a starter killed while it starts does not keep the next one out', async () => {
    const options = freshState();
    const starter = startElsewhere(options);
    await expect
      .poll(() => readText(path.join(options.stateDir, 'postgres', 'lock')), { timeout: 15_000 })
      .toContain('pid');
    await starter.end('SIGKILL');
    await expect(starter.up).rejects.toThrow('the starter ended');
    const next = await start(options);
    expect((await askVersion(next.url)).major).toBeGreaterThanOrEqual(15);
  });

  it('stopping twice is stopping once', async () => {
    const options = freshState();
    const server = await start(options);
    await Promise.all([server.stop(), server.stop()]);
    await server.stop();
    await expect(askVersion(server.url)).rejects.toMatchObject(refused);
  });

  it('only one at a time holds the lock, also over the body of a dead holder', async () => {
    const { stateDir } = freshState();
    const folder = path.dirname(stateDir);
    const [lock, counter] = [path.join(folder, 'lock'), path.join(folder, 'counter')];
    await writeFile(counter, '0');
    await writeFile(lock, JSON.stringify({ pid: process.pid, startedAt: 'another boot:1', token: 'dead' }));
    const runs = [1, 2, 3, 4].map(() => runStarter(['count', lock, counter, '25']));
    const codes = await Promise.all(runs.map((run) => new Promise((settle) => run.once('exit', settle))));
    expect(codes).toEqual([0, 0, 0, 0]);
    expect(readText(counter)).toBe('100');
    expect(readText(lock)).toBe('');
  });
});

describe('db up and db down', () => {
  cleanUpAfterEach();

  const verbs = (stateDir: string) => {
    const [out, err] = [[] as string[], [] as string[]];
    const io = { stateDir, out: (line: string) => void out.push(line), err: (line: string) => void err.push(line) };
    return { io, out, err };
  };

  it('leaves the server up for others until it is told to stop', async () => {
    const { stateDir } = freshState();
    const { io, out } = verbs(stateDir);
    expect(await dbUp([], io)).toBe(0);
    const { url } = JSON.parse(out[0] ?? '') as { url: string };
    const guest = await start({ stateDir, onProgress: () => undefined });
    await guest.stop();
    expect((await askVersion(url)).major).toBeGreaterThanOrEqual(15);
    expect(await dbDown([], io)).toBe(0);
    await expect(askVersion(url)).rejects.toMatchObject(refused);
    expect(out.slice(1).map((line) => JSON.parse(line))).toEqual([{ stopped: true, wasRunning: true }]);
  });

  it('does not stop a server under those who use it, unless forced', async () => {
    const options = freshState();
    const guest = await start(options);
    const { io, err } = verbs(options.stateDir);
    expect(await dbDown([], io)).toBe(1);
    expect(err.join()).toContain(`still used by process ${process.pid} `);
    const pid = await serverPid(guest);
    expect(processFacts(pid)).toMatchObject({ zombie: false });
    expect(await dbDown(['--force'], io)).toBe(0);
    await waitUntilEnded(pid);
  });

  it('has nothing to stop where nothing runs', async () => {
    const { io, out } = verbs(freshState().stateDir);
    expect(await dbDown([], io)).toBe(0);
    expect(out.map((line) => JSON.parse(line))).toEqual([{ stopped: true, wasRunning: false }]);
  });

  it('refuses arguments it does not know', async () => {
    const { io, err } = verbs(freshState().stateDir);
    expect([await dbUp(['now'], io), await dbDown(['--now'], io)]).toEqual([2, 2]);
    expect(err).toHaveLength(2);
  });
});

function readText(file: string): string {
  try {
    return readFileSync(file, 'utf8');
  } catch {
    return '';
  }
}
