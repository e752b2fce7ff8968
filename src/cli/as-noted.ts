import { runCommandLine } from './command-line.js';
import type { Io } from './verb.js';
import { VERBS } from './verbs.js';

/** More than any input may have; verbs have their own, smaller limits. */
const STDIN_BYTES = 16 * 1024 * 1024;

const io: Io = {
  out: (line) => void process.stdout.write(`${line}\n`),
  err: (line) => void process.stderr.write(`${line}\n`),
  stdin: async () => {
    const chunks: Uint8Array[] = [];
    let length = 0;
    for await (const chunk of process.stdin as AsyncIterable<Uint8Array>) {
      chunks.push(chunk);
      length += chunk.length;
      if (length > STDIN_BYTES) break;
    }
    return Buffer.concat(chunks);
  },
};

// A reader that closes early, such as `head`, is no error of ours.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error;
});

// Not process.exit(): output to a pipe would be cut off.
process.exitCode = await runCommandLine(process.argv.slice(2), VERBS, io);
