import { chmodSync, mkdirSync, statSync } from 'node:fs';
import { readFile, rm, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { withClient } from '../../src/platform/postgres/connection.js';
import { systemSets } from '../../src/platform/postgres/find-binaries.js';
import type { PrivateServer } from '../../src/platform/postgres/private-server.js';
import {
  cleanUpAfterAll,
  cleanUpAfterEach,
  dataDirOf,
  freshState,
  serverPid,
  start,
  waitUntilEnded,
} from './state-folders.js';

const asRoot = process.getuid?.() === 0;
const ask = async (url: string, sql: string): Promise<unknown> =>
  withClient(url, async (client) => Object.values((await client.query<Record<string, unknown>>(sql)).rows[0] ?? {})[0]);

describe('a private server that was just made', () => {
  cleanUpAfterAll();
  let options: ReturnType<typeof freshState>;
  let server: PrivateServer;
  beforeAll(async () => {
    options = freshState();
    server = await start(options);
  });

  it('starts from nothing, answers, and has said what it does', async () => {
    expect(server).toMatchObject({ source: 'embedded', attached: false });
    expect(await ask(server.url, 'show server_version')).toBe(server.version);
    expect(await ask(server.url, 'select current_database()')).toBe('as_noted');
    expect(options.progress.join('\n')).toMatch(
      /Preparing the packaged.*\n.*new database folder.*\n.*Starting PostgreSQL/,
    );
  });

  it('checks its pages, orders text the same everywhere and listens on this machine only', async () => {
    const { url } = server;
    expect(await ask(url, 'show data_checksums')).toBe('on');
    expect(await ask(url, 'show listen_addresses')).toBe('127.0.0.1');
    expect(await ask(url, 'show unix_socket_directories')).toBe('');
    expect(await ask(url, `select datlocale from pg_database where datname = 'as_noted'`)).toBe('C.UTF-8');
    expect(await ask(url, `select lower('ÄÉ')`)).toBe('äé');
  });

  it('lets nobody in without the password, which only its owner may read', async () => {
    const wrong = new URL(server.url);
    wrong.password = 'guess';
    await expect(ask(wrong.href, 'select 1')).rejects.toMatchObject({ code: '28P01' });
    const hba = await readFile(path.join(dataDirOf(server), 'pg_hba.conf'), 'utf8');
    const rules = hba.split('\n').filter((line) => /^(local|host)/.test(line));
    expect(rules.length).toBeGreaterThan(0);
    expect(rules.filter((line) => !line.trimEnd().endsWith('scram-sha-256'))).toEqual([]);
    expect(statSync(path.join(server.home, 'secret')).mode & 0o777).toBe(0o600);
    expect(statSync(path.join(server.home, 'run', 'initdb-password'), { throwIfNoEntry: false })).toBeUndefined();
  });

  it.runIf(asRoot)('changes to an unprivileged account when root starts it', async () => {
    const { uid } = statSync(`/proc/${await serverPid(server)}`);
    expect(uid).not.toBe(0);
    expect(statSync(dataDirOf(server)).uid).toBe(uid);
    expect(statSync(dataDirOf(server)).mode & 0o777).toBe(0o700);
  });
});

describe('a private server', () => {
  cleanUpAfterEach();

  it('keeps committed rows, password and port over a stop and a start', async () => {
    const options = freshState();
    const first = await start(options);
    await ask(first.url, 'create table kept as select 42 as answer');
    const pid = await serverPid(first);
    await first.stop();
    await waitUntilEnded(pid);
    const second = await start(options);
    expect(second).toMatchObject({ url: first.url, attached: false });
    expect(await ask(second.url, 'select answer from kept')).toBe(42);
  });

  it('takes another port when its last one is in use', async () => {
    const options = freshState();
    const first = await start(options);
    await first.stop();
    const other = await start(freshState());
    const note = path.join(first.home, 'server.json');
    const taken = Number(new URL(other.url).port);
    await writeFile(note, JSON.stringify({ ...JSON.parse(await readFile(note, 'utf8')), port: taken }));
    const second = await start(options);
    expect(new URL(second.url).port).not.toBe(String(taken));
    expect(await ask(second.url, 'select 1')).toBe(1);
  });

  it('makes its data folder anew after a start that was cut off half-way', async () => {
    const half = freshState();
    const run = path.join(half.stateDir, 'postgres', 'run');
    mkdirSync(path.join(run, 'data.fresh'), { recursive: true });
    chmodSync(half.stateDir, 0o711);
    chmodSync(path.dirname(run), 0o711);
    await writeFile(path.join(run, 'data.fresh', 'PG_VERSION'), '18\n');
    await writeFile(path.join(run, 'initdb-password'), 'left over');
    const second = await start(half);
    expect(await ask(second.url, 'select 1')).toBe(1);
    expect(statSync(path.join(run, 'initdb-password'), { throwIfNoEntry: false })).toBeUndefined();
  });

  it('runs on installed programs and goes on with their data later', async ({ skip }) => {
    const installed = await systemSets();
    if (installed.length === 0) skip('no PostgreSQL is installed on this machine');
    const options = freshState({ source: 'system' });
    const first = await start(options);
    expect(first.source).toBe('system');
    expect(await ask(first.url, 'show server_version')).toContain(first.version);
    await first.stop();
    const second = await start({ ...options, source: undefined }); // the packaged one would be first, but the data is older
    expect(second).toMatchObject({ source: 'system', version: first.version });
  });

  it('says which version a data folder needs, and leaves the folder alone', async () => {
    const options = freshState();
    const server = await start(options);
    await server.stop();
    const file = path.join(dataDirOf(server), 'PG_VERSION');
    await writeFile(file, '17\n');
    await expect(start({ ...options, source: 'embedded' })).rejects.toThrow(
      /was made by PostgreSQL 17, but this machine has only PostgreSQL 18\.\d+ \(packaged\).*move the folder away.*DATABASE_URL/,
    );
    expect(await readFile(file, 'utf8')).toBe('17\n');
  });

  it('says what is wrong when the password file is lost', async () => {
    const options = freshState();
    const server = await start(options);
    await server.stop();
    await rm(path.join(server.home, 'secret'));
    await expect(start(options)).rejects.toThrow(/The password file .*secret is missing/);
  });

  it.runIf(asRoot)("lives elsewhere when root's state folder is closed to that account", async () => {
    const options = freshState();
    const closed = path.join(path.dirname(options.stateDir), 'closed');
    mkdirSync(closed, { mode: 0o700 });
    // Its own programs: the copy has to be reachable, too.
    const { programsDir: _, ...own } = options;
    const inside = { ...own, stateDir: path.join(closed, 'state') };
    const server = await start(inside);
    expect(server.home.startsWith(options.sharedRoot ?? '-')).toBe(true);
    expect(await ask(server.url, 'select 1')).toBe(1);
    const again = await start(inside);
    expect(again).toMatchObject({ attached: true, url: server.url });
    await Promise.all([server.stop(), again.stop()]);
    chmodSync(closed, 0o711);
    const opened = await start(inside); // data stays where it is, though the folder could be used now
    expect(opened.home).toBe(server.home);
    await opened.stop();
  });
});
