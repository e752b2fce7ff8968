/**
 * Entry of a reader process: takes one order at a time over the channel. It reads hostile bytes, so it holds no secrets (its
 * environment is empty) and can be killed at any moment. Written in plain erasable TypeScript: Node runs it unbuilt in tests.
 */
import { constants, setPriority } from 'node:os';
import { PHOTO_SENTENCES } from '../domain/photo-limits.js';
import type { OrderMessage, ResultMessage } from './reader-messages.js';
import { readPhoto } from './read-photo.js';
import { settleSharp } from './sharp-settings.js';

settleSharp();
// People waiting for an answer go before photos waiting to be read.
setPriority(constants.priority.PRIORITY_BELOW_NORMAL);

// A terminal sends Ctrl-C to the whole group; the parent decides when a reader ends.
process.on('SIGINT', () => undefined);
process.on('disconnect', () => process.exit(0));

process.on('message', (message: OrderMessage) => {
  void answer(message);
});

async function answer({ order, work }: OrderMessage): Promise<void> {
  const result = await readPhoto(work).catch((error: unknown) => {
    process.stderr.write(`reader: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}\n`);
    return { ok: false, failure: 'damaged', detail: PHOTO_SENTENCES.damaged } as const;
  });
  const reply: ResultMessage = { order, result };
  process.send?.(reply);
}
