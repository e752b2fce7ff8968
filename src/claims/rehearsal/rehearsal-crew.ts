import { fork, type ChildProcess } from 'node:child_process';
import { availableParallelism } from 'node:os';
import { fileURLToPath } from 'node:url';
import type { RehearsalEnd, RehearsalStart } from './rehearsal-messages.js';
import { rehearseHere } from './rehearse-here.js';

/** Memory of one child process; it holds a few hundred claims at a time. */
const HEAP_MEGABYTES = 256;

/**
 * Works on rehearsals in child processes, one for each core, below the priority of the service. Where the source itself runs, as in tests, the
 * work is done in this process: Node cannot run all of the source unbuilt.
 */
export class RehearsalCrew {
  private readonly children = new Set<ChildProcess>();

  constructor(private readonly hands = availableParallelism()) {}

  /** Process ids of the children that are up. */
  get pids(): readonly number[] {
    return [...this.children].flatMap(({ pid }) => (pid === undefined ? [] : [pid]));
  }

  /** Works on a rehearsal until nothing is left of it. @returns what each pair of hands came to */
  async work(start: RehearsalStart): Promise<readonly RehearsalEnd[]> {
    if (import.meta.url.endsWith('.ts')) return [await rehearseHere(start)];
    return Promise.all(Array.from({ length: this.hands }, () => this.child(start)));
  }

  /** Ends all children. What they had not written down is done again by whoever goes on with the rehearsal. */
  async close(): Promise<void> {
    await Promise.all(
      [...this.children].map((child) => {
        const ended = new Promise((resolve) => child.once('exit', resolve));
        child.kill('SIGKILL');
        return ended;
      }),
    );
  }

  private child(start: RehearsalStart): Promise<RehearsalEnd> {
    const child = fork(fileURLToPath(new URL('./rehearsal-child.js', import.meta.url)), [], {
      env: {},
      execArgv: [`--max-old-space-size=${HEAP_MEGABYTES}`, '--enable-source-maps'],
      stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
    });
    this.children.add(child);
    return new Promise((resolve) => {
      let end: RehearsalEnd = { ok: false, problem: 'a process of the rehearsal died', lasting: false };
      child.on('message', (message) => {
        end = message as RehearsalEnd;
      });
      const gone = (): void => {
        this.children.delete(child);
        resolve(end);
      };
      child.on('exit', gone);
      child.on('error', gone);
      child.send(start, (error) => {
        if (error !== null) child.kill('SIGKILL');
      });
    });
  }
}
