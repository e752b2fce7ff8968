import { execFile, spawn, type ChildProcess } from 'node:child_process';
import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { createServer, type AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import type { ObjectStoreSettings } from '../../src/platform/config/photo-settings.js';
import { missingOnDebian } from './debian.js';

const run = promisify(execFile);
const PACKAGES = ['swift-proxy', 'swift-account', 'swift-container', 'swift-object', 'memcached'];
const PROGRAMS = ['proxy', 'account', 'container', 'object'].map((part) => `/usr/bin/swift-${part}-server`);

/** Order of the pipeline that the S3 interface needs; versioned writes do not start without symlink. */
const PIPELINE =
  'catch_errors gatekeeper healthcheck cache listing_formats bulk s3api tempauth copy slo dlo versioned_writes symlink proxy-server';
const PARTS = ['account', 'container', 'object'] as const;

/** Debian's Swift with its S3 interface, on the loopback and in a folder of its own: one copy of everything. */
export interface Swift {
  /** For a bucket that is there already. */
  readonly settings: ObjectStoreSettings;
  stop(): Promise<void>;
}

/** @returns why Swift cannot be run on this machine; undefined when it can */
export function swiftMissing(): Promise<string | undefined> {
  return missingOnDebian([...PROGRAMS, '/usr/bin/memcached'], PACKAGES);
}

/** @throws Error with what a server printed when it does not come up */
export async function startSwift(): Promise<Swift> {
  const folder = await mkdtemp(join(tmpdir(), 'as-noted-swift-'));
  const [proxy = 0, memcached = 0, ...rest] = await freePorts(5);
  const ports = Object.fromEntries(PARTS.map((part, n) => [part, rest[n] ?? 0])) as Record<
    (typeof PARTS)[number],
    number
  >;
  const children: ChildProcess[] = [];
  const stop = async (): Promise<void> => {
    await Promise.all(children.map(endProcess));
    await rm(folder, { recursive: true, force: true });
  };
  try {
    await mkdir(join(folder, 'disks', 'd1'), { recursive: true });
    for (const part of PARTS) await writeStorage(folder, part, ports[part]);
    await writeFile(join(folder, 'proxy-server.conf'), proxyConfig(folder, proxy, memcached));
    children.push(
      start('/usr/bin/memcached', ['-u', 'nobody', '-l', '127.0.0.1', '-p', String(memcached), '-m', '16']),
    );
    for (const part of [...PARTS, 'proxy'] as const) {
      children.push(start(`/usr/bin/swift-${part}-server`, [join(folder, `${part}-server.conf`), '--verbose']));
    }
    await comesUp(`http://127.0.0.1:${proxy}/healthcheck`, children);
    const settings = {
      endpoint: `http://127.0.0.1:${proxy}`,
      bucket: 'as-noted-photos',
      region: 'us-east-1',
      keyId: 'test:tester',
      secret: 'testing',
    };
    return { settings, stop };
  } catch (error) {
    await stop();
    throw error;
  }
}

async function writeStorage(folder: string, part: (typeof PARTS)[number], port: number): Promise<void> {
  const builder = join(folder, `${part}.builder`);
  await run('/usr/bin/swift-ring-builder', [builder, 'create', '4', '1', '1']);
  await run('/usr/bin/swift-ring-builder', [builder, 'add', `r1z1-127.0.0.1:${port}/d1`, '1']);
  await run('/usr/bin/swift-ring-builder', [builder, 'rebalance']);
  await writeFile(
    join(folder, `${part}-server.conf`),
    `[DEFAULT]
bind_ip = 127.0.0.1
bind_port = ${port}
workers = 0
user = root
swift_dir = ${folder}
devices = ${join(folder, 'disks')}
mount_check = false
disable_fallocate = true
[pipeline:main]
pipeline = ${part}-server
[app:${part}-server]
use = egg:swift#${part}
`,
  );
}

function proxyConfig(folder: string, port: number, memcached: number): string {
  const filters = [
    'catch_errors',
    'gatekeeper',
    'healthcheck',
    'listing_formats',
    'bulk',
    'copy',
    'slo',
    'dlo',
    'versioned_writes',
    'symlink',
  ];
  return `[DEFAULT]
bind_ip = 127.0.0.1
bind_port = ${port}
workers = 0
user = root
swift_dir = ${folder}
[pipeline:main]
pipeline = ${PIPELINE}
[app:proxy-server]
use = egg:swift#proxy
account_autocreate = true
allow_account_management = true
[filter:cache]
use = egg:swift#memcache
memcache_servers = 127.0.0.1:${memcached}
[filter:s3api]
use = egg:swift#s3api
location = us-east-1
[filter:tempauth]
use = egg:swift#tempauth
user_test_tester = testing .admin
${filters.map((filter) => `[filter:${filter}]\nuse = egg:swift#${filter}`).join('\n')}
`;
}

const printed = new WeakMap<ChildProcess, string[]>();

function start(program: string, args: readonly string[]): ChildProcess {
  const child = spawn(program, args, {
    stdio: ['ignore', 'pipe', 'pipe'],
    env: { PATH: '/usr/sbin:/usr/bin:/sbin:/bin' },
  });
  const lines: string[] = [];
  printed.set(child, lines);
  for (const stream of [child.stdout, child.stderr])
    stream?.on('data', (chunk: Buffer) => lines.push(chunk.toString()));
  return child;
}

async function comesUp(url: string, children: readonly ChildProcess[]): Promise<void> {
  for (let tries = 0; tries < 600; tries += 1) {
    const gone = children.find(({ exitCode }) => exitCode !== null);
    if (gone) throw new Error(`${gone.spawnfile} ended: ${(printed.get(gone) ?? []).join('').slice(-2000)}`);
    const answer = await fetch(url).catch(() => undefined);
    if (answer?.ok) return;
    await new Promise((settle) => setTimeout(settle, 100));
  }
  throw new Error(
    `${url} does not answer: ${children.map((child) => (printed.get(child) ?? []).join('').slice(-500)).join('\n')}`,
  );
}

async function endProcess(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const ended = new Promise((settle) => child.once('exit', settle));
  child.kill('SIGKILL');
  await ended;
}

async function freePorts(count: number): Promise<number[]> {
  const probes = await Promise.all(
    Array.from({ length: count }, async () => {
      const probe = createServer();
      await new Promise<void>((settle) => probe.listen(0, '127.0.0.1', settle));
      return probe;
    }),
  );
  const ports = probes.map((probe) => (probe.address() as AddressInfo).port);
  await Promise.all(probes.map((probe) => new Promise((settle) => probe.close(settle))));
  return ports;
}
