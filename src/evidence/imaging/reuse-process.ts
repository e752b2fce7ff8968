import { fork, type ChildProcess } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import type { ReuseKind, ReuseOrders, ReuseReply } from './reuse-messages.js';
import { nodeArgumentsFor, siblingModule } from './unbuilt-modules.js';

interface Waiting {
  readonly settle: (reply: ReuseReply) => void;
  readonly fail: (error: Error) => void;
}

/** Well above the slowest order: a thousand comparisons, or ten million fingerprints on a busy machine. */
const DEADLINE_MS = 120_000;

/**
 * The one process beside this one that compares photos. It starts when it is first needed. When it dies or does not answer in time it is
 * killed, orders under way fail, and the next order starts another, whose index is empty and is filled again from the database.
 */
export class ReuseProcess {
  private child: ChildProcess | undefined;
  private readonly waiting = new Map<number, Waiting>();
  private orders = 0;
  private closed = false;

  constructor(
    private readonly entry: URL = siblingModule('reuse-child', import.meta.url),
    private readonly deadlineMs = DEADLINE_MS,
  ) {}

  /** Process id, while it is up. */
  get pid(): number | undefined {
    return this.child?.pid;
  }

  /** @throws Error when the process refuses, dies, takes too long, or was closed */
  async ask<Kind extends ReuseKind>(
    kind: Kind,
    asks: ReuseOrders[Kind]['asks'],
  ): Promise<ReuseOrders[Kind]['answers']> {
    if (this.closed) throw new Error('the process that compares photos is closed');
    const child = (this.child ??= this.start());
    const order = (this.orders += 1);
    const reply = await new Promise<ReuseReply>((settle, fail) => {
      const deadline = setTimeout(() => this.drop(child, 'took too long'), this.deadlineMs);
      const ended = <T>(then: (value: T) => void) => {
        return (value: T): void => {
          clearTimeout(deadline);
          this.waiting.delete(order);
          then(value);
        };
      };
      this.waiting.set(order, { settle: ended(settle), fail: ended(fail) });
      child.send({ order, kind, asks }, (error) => {
        if (error) this.drop(child, 'could not be asked');
      });
    });
    if (!reply.ok) throw new Error(reply.problem);
    return reply.answers as ReuseOrders[Kind]['answers'];
  }

  /** Ends the process; orders under way fail. */
  async close(): Promise<void> {
    this.closed = true;
    const { child } = this;
    if (!child || child.exitCode !== null || child.signalCode !== null) return;
    const ended = new Promise((resolve) => child.once('exit', resolve));
    child.ref();
    this.drop(child, 'was closed');
    await ended;
  }

  private start(): ChildProcess {
    const child = fork(fileURLToPath(this.entry), [], {
      env: {},
      execArgv: nodeArgumentsFor(this.entry).slice(),
      // Bytes travel as bytes.
      serialization: 'advanced',
      stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
    });
    child.unref();
    child.channel?.unref();
    child.on('message', (message) => {
      const reply = message as ReuseReply;
      this.waiting.get(reply.order)?.settle(reply);
    });
    child.on('exit', () => this.drop(child, 'died'));
    child.on('error', () => this.drop(child, 'could not be started'));
    return child;
  }

  private drop(child: ChildProcess, what: string): void {
    if (this.child !== child) return;
    this.child = undefined;
    child.kill('SIGKILL');
    for (const { fail } of Array.from(this.waiting.values()))
      fail(new Error(`the process that compares photos ${what}`));
  }
}
