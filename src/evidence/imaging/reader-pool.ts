import { fork, type ChildProcess } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { fileURLToPath } from 'node:url';
import { isHeic, PHOTO_SENTENCES } from '../domain/photo-limits.js';
import type { OrderMessage, ReadOrder, ReadResult, ResultMessage } from './reader-messages.js';
import { nodeArgumentsFor, siblingModule } from './unbuilt-modules.js';

export interface ReaderPoolOptions {
  /** Readers at once; one photo per core is the fastest. */
  readonly readers?: number;
  /** Wall time of one photo, start of the process included; SIGKILL after it. */
  readonly deadlineMs?: number;
  /** The same for a HEIC, whose decoder is slower. */
  readonly heicDeadlineMs?: number;
  /** A reader that holds more memory than this is killed, where the system tells (Linux). */
  readonly memoryBytes?: number;
  /** A reader is replaced after this many photos, so that what a decoder leaks does not add up. */
  readonly ordersPerReader?: number;
  /** Orders that may wait; one more is refused with `ReaderQueueFull`. */
  readonly queueLimit?: number;
  /** Module that the readers run. */
  readonly entry?: URL;
}

/** More photos wait than the pool takes. The caller tries again later. */
export class ReaderQueueFull extends Error {
  override readonly name = 'ReaderQueueFull';
  constructor() {
    super('too many photos wait to be read');
  }
}

interface Waiting {
  readonly work: ReadOrder;
  readonly settle: (result: ReadResult) => void;
}

interface Current {
  readonly order: number;
  /** The decoder of HEIC never gives memory back, so a reader that may have used it reads nothing more. */
  readonly last: boolean;
  readonly settle: (result: ReadResult) => void;
}

interface Reader {
  readonly child: ChildProcess;
  served: number;
  current: Current | undefined;
}

/**
 * Reads photos in child processes. A decoder cannot be stopped from within its process (a worker thread's end waits for it), but a
 * process can: each photo has a deadline, after which its reader is killed. Readers start when needed and never keep the service up.
 */
export class ReaderPool {
  private readonly most: number;
  private readonly deadlineMs: number;
  private readonly heicDeadlineMs: number;
  private readonly memoryBytes: number;
  private readonly ordersPerReader: number;
  private readonly queueLimit: number;
  private readonly entry: URL;
  private readonly readers = new Set<Reader>();
  private readonly queue: Waiting[] = [];
  private orders = 0;
  private closed = false;

  constructor(options: ReaderPoolOptions = {}) {
    this.most = options.readers ?? availableParallelism();
    this.deadlineMs = options.deadlineMs ?? 30_000;
    this.heicDeadlineMs = options.heicDeadlineMs ?? 60_000;
    this.memoryBytes = options.memoryBytes ?? 1536 * 1024 * 1024;
    this.ordersPerReader = options.ordersPerReader ?? 50;
    this.queueLimit = options.queueLimit ?? 200;
    this.entry = options.entry ?? siblingModule('reader-child', import.meta.url);
  }

  /** Process ids of the readers that are up. */
  get pids(): readonly number[] {
    return [...this.readers].flatMap(({ child }) => (child.pid === undefined ? [] : [child.pid]));
  }

  /** Reads one photo. @throws ReaderQueueFull when too many wait; Error when the pool is closed */
  read(work: ReadOrder): Promise<ReadResult> {
    if (this.closed) return Promise.reject(new Error('the readers are closed'));
    if (this.queue.length >= this.queueLimit) return Promise.reject(new ReaderQueueFull());
    return new Promise((settle) => {
      this.queue.push({ work, settle });
      this.next();
    });
  }

  /** Ends all readers. Photos under way come back as `reader died`; their jobs run again at the next start. */
  async close(): Promise<void> {
    this.closed = true;
    for (const { settle } of this.queue.splice(0)) settle(DIED);
    await Promise.all([...this.readers].map((reader) => this.end(reader)));
  }

  private next(): void {
    while (this.queue.length > 0) {
      const reader =
        [...this.readers].find(({ current }) => !current) ?? (this.readers.size < this.most ? this.start() : undefined);
      const waiting = reader && this.queue.shift();
      if (!reader || !waiting) return;
      this.assign(reader, waiting);
    }
  }

  private assign(reader: Reader, { work, settle }: Waiting): void {
    const order = (this.orders += 1);
    const heic = isHeic(work.mediaType) && work.heic === true;
    const giveUp = (failure: 'too long' | 'too much memory', detail: string) => {
      finish({ ok: false, failure, detail });
      this.readers.delete(reader);
      reader.child.kill('SIGKILL');
      this.next();
    };
    const deadline = setTimeout(
      () => giveUp('too long', PHOTO_SENTENCES.tooLong),
      heic ? this.heicDeadlineMs : this.deadlineMs,
    );
    const watch = setInterval(() => {
      if (memoryOf(reader.child.pid) > this.memoryBytes) giveUp('too much memory', PHOTO_SENTENCES.tooMuchMemory);
    }, WATCH_MS);
    const finish = (result: ReadResult) => {
      clearTimeout(deadline);
      clearInterval(watch);
      reader.current = undefined;
      settle(result);
    };
    reader.current = { order, last: heic, settle: finish };
    const message: OrderMessage = { order, work };
    reader.child.send(message, (error) => {
      if (error) this.died(reader);
    });
  }

  private start(): Reader {
    const child = fork(fileURLToPath(this.entry), [], {
      // Nothing of the service's environment, which holds secrets, reaches a process that reads hostile bytes.
      env: {},
      execArgv: ['--max-old-space-size=512', ...nodeArgumentsFor(this.entry)],
      // 'advanced' keeps NaN and Infinity, which JSON would turn into null.
      serialization: 'advanced',
      stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
    });
    child.unref();
    child.channel?.unref();
    const reader: Reader = { child, served: 0, current: undefined };
    this.readers.add(reader);
    child.on('message', (message) => this.answered(reader, message as ResultMessage));
    child.on('exit', () => this.died(reader));
    child.on('error', () => this.died(reader));
    return reader;
  }

  private answered(reader: Reader, { order, result }: ResultMessage): void {
    const { current } = reader;
    if (current?.order !== order) return;
    reader.served += 1;
    current.settle(result);
    if (current.last || reader.served >= this.ordersPerReader) {
      this.readers.delete(reader);
      reader.child.disconnect();
    }
    this.next();
  }

  private died(reader: Reader): void {
    if (!this.readers.delete(reader)) return;
    // An order that could not be sent leaves a reader that may still be up.
    reader.child.kill('SIGKILL');
    reader.current?.settle(DIED);
    if (!this.closed) this.next();
  }

  private async end(reader: Reader): Promise<void> {
    const { child } = reader;
    if (child.exitCode !== null || child.signalCode !== null) return;
    const ended = new Promise((resolve) => child.once('exit', resolve));
    child.ref();
    child.kill('SIGKILL');
    await ended;
  }
}

/** How often the memory of a reader at work is looked at. */
const WATCH_MS = 200;
/** proc(5): statm counts pages, of 4096 bytes on the systems that this runs on. */
const PAGE_BYTES = 4096;

/** Resident memory of a process; 0 where the system does not tell. */
function memoryOf(pid: number | undefined): number {
  try {
    return Number(readFileSync(`/proc/${pid}/statm`, 'latin1').split(' ')[1]) * PAGE_BYTES;
  } catch {
    return 0;
  }
}

const DIED: ReadResult = { ok: false, failure: 'reader died', detail: PHOTO_SENTENCES.readerDied };
