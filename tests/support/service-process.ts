import { spawn, type ChildProcess } from 'node:child_process';
import { existsSync } from 'node:fs';
import { createServer, type AddressInfo } from 'node:net';
import { join } from 'node:path';
import { projectRoot } from '../../src/platform/config/project-root.js';

/** The built service in a process of its own. */
export interface ServiceProcess {
  /** Where it listens, without a slash at the end. */
  readonly url: string;
  /** Ends it as an empty battery would, and waits until it has gone. */
  kill(): Promise<void>;
}

const running = new Set<ChildProcess>();

/**
 * Starts `dist/src/main.js` and waits until it says that it is ready. @param env beside the port; @throws Error with what it printed when
 * it ends before that
 */
export async function startService(env: Readonly<Record<string, string>>): Promise<ServiceProcess> {
  const main = join(projectRoot(), 'dist', 'src', 'main.js');
  if (!existsSync(main)) throw new Error(`There is no ${main}; build first (npm run build).`);
  const port = await freePort();
  const { PATH = '', HOME = '', TMPDIR = '' } = process.env;
  const child = spawn(process.execPath, [main], {
    cwd: projectRoot(),
    env: { PATH, HOME, TMPDIR, ...env, PORT: String(port) },
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  running.add(child);
  const ended = new Promise<void>((settle) => {
    child.once('exit', () => {
      running.delete(child);
      settle();
    });
  });
  let printed = '';
  const ready = new Promise<void>((settle, fail) => {
    child.stderr?.on('data', (chunk: Buffer) => {
      printed += chunk.toString();
      if (printed.includes('Ready after')) settle();
    });
    void ended.then(() => fail(new Error(`the service ended before it was ready: ${printed}`)));
  });
  await ready;
  const kill = async (): Promise<void> => {
    child.kill('SIGKILL');
    await ended;
  };
  return { url: `http://127.0.0.1:${port}`, kill };
}

/** Ends services that a failed test left running. */
export async function endServices(): Promise<void> {
  for (const child of running) {
    const gone = new Promise((settle) => child.once('exit', settle));
    child.kill('SIGKILL');
    await gone;
  }
}

function freePort(): Promise<number> {
  return new Promise((settle, fail) => {
    const probe = createServer();
    probe.once('error', fail);
    probe.listen(0, '127.0.0.1', () => {
      const { port } = probe.address() as AddressInfo;
      probe.close(() => settle(port));
    });
  });
}
