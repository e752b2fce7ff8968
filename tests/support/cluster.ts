import { randomBytes } from 'node:crypto';
import { chmodSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { TestProject } from 'vitest/node';
import { ALL_MIGRATIONS } from '../../migrations/all.js';
import { prepareDatabase } from '../../src/platform/db/prepare-database.js';
import { askVersion, withClient } from '../../src/platform/postgres/connection.js';
import { startPrivateServer, stopPrivateServer } from '../../src/platform/postgres/private-server.js';
import { isAlive, ownIdentity } from '../../src/platform/postgres/process-facts.js';
import type { ProcessIdentity } from '../../src/platform/postgres/process-facts.js';
import { versionText } from '../../src/platform/postgres/version.js';

/** What the run's one server tells its workers. */
export interface TestServer {
  /** Address of the server's maintenance database, as superuser. */
  readonly url: string;
  /** The migrated, empty database that workers clone. */
  readonly template: string;
  /** Begins the name of every database of this run. */
  readonly prefix: string;
  /** "18.4" */
  readonly version: string;
  /** The packaged programs of this run, shared by the servers that tests start themselves; absent with a foreign server. */
  readonly programsDir?: string;
}

declare module 'vitest' {
  export interface ProvidedContext {
    testServer: TestServer;
  }
}

const FOLDER = 'as-noted-tests-';

/** Losing power does not matter to a server that lives for one run; writing through to disk would double its time. */
const SETTINGS = {
  fsync: 'off',
  synchronous_commit: 'off',
  full_page_writes: 'off',
  wal_level: 'minimal',
  max_wal_senders: '0',
  max_connections: '200',
};

/**
 * Starts one server for the whole run and makes the template database. Two names in the environment change it:
 * TEST_DATABASE_URL names another server (a superuser's address), TEST_SERVER=system takes the installed programs.
 */
export default async function setUp(project: TestProject): Promise<() => Promise<void>> {
  await clearLeftOvers();
  const given = process.env['TEST_DATABASE_URL'];
  const server = given ? await foreignServer(given) : await ownServer();
  const prefix = `as_noted_test_${randomBytes(4).toString('hex')}`;
  const template = `${prefix}_template`;
  await withClient(server.url, (client) => client.query(`create database ${template}`));
  await prepareDatabase(onDatabase(server.url, template), ALL_MIGRATIONS);
  const { url, version, programsDir } = server;
  process.stdout.write(`Database tests run on PostgreSQL ${version}.\n`);
  project.provide('testServer', { url, version, template, prefix, ...(programsDir ? { programsDir } : {}) });
  return async () => {
    await dropDatabases(url, prefix);
    await server.stop();
  };
}

/** The same server's address with another database. */
export function onDatabase(url: string, database: string): string {
  const address = new URL(url);
  address.pathname = `/${database}`;
  return address.href;
}

interface RunningServer {
  readonly url: string;
  readonly version: string;
  readonly programsDir?: string;
  stop(): Promise<void>;
}

async function foreignServer(url: string): Promise<RunningServer> {
  return { url, version: versionText(await askVersion(url)), stop: () => Promise.resolve() };
}

async function ownServer(): Promise<RunningServer> {
  const folder = mkdtempSync(path.join(tmpdir(), FOLDER));
  chmodSync(folder, 0o711); // under root the server's account passes through
  writeFileSync(path.join(folder, 'owner.json'), JSON.stringify(ownIdentity()));
  const programsDir = path.join(folder, 'programs');
  const server = await startPrivateServer({
    stateDir: path.join(folder, 'state'),
    programsDir,
    source: process.env['TEST_SERVER'] === 'system' ? 'system' : undefined,
    settings: SETTINGS,
    onProgress: () => undefined,
  });
  const stop = async (): Promise<void> => {
    await server.stop();
    rmSync(folder, { recursive: true, force: true });
  };
  return { url: server.url, version: server.version, programsDir, stop };
}

async function dropDatabases(url: string, prefix: string): Promise<void> {
  await withClient(url, async (client) => {
    const { rows } = await client.query<{ datname: string }>(
      'select datname from pg_database where starts_with(datname, $1)',
      [prefix],
    );
    for (const { datname } of rows) await client.query(`drop database ${datname} with (force)`);
  });
}

/** Stops and removes servers of runs that were killed before they could do it themselves. */
async function clearLeftOvers(): Promise<void> {
  for (const name of readdirSync(tmpdir()).filter((each) => each.startsWith(FOLDER))) {
    const folder = path.join(tmpdir(), name);
    const owner = ownerOf(folder);
    if (owner === undefined || isAlive(owner)) continue;
    await stopPrivateServer({ stateDir: path.join(folder, 'state'), onProgress: () => undefined, force: true });
    rmSync(folder, { recursive: true, force: true });
  }
}

function ownerOf(folder: string): ProcessIdentity | undefined {
  try {
    return JSON.parse(readFileSync(path.join(folder, 'owner.json'), 'utf8')) as ProcessIdentity;
  } catch {
    return undefined; // just being made, or somebody else's
  }
}
