import { createReadStream } from 'node:fs';
import { stat } from 'node:fs/promises';
import type { Outcome } from '../kernel/outcome.js';
import { BadInput, parseJson } from './json-input.js';
import type { Io } from './verb.js';

/** Most bytes of one line. */
const LINE_BYTES = 1024 * 1024;
const NEW_LINE = 10;

/**
 * Reads JSON Lines (one JSON value a line, UTF-8) one at a time, so that a file of any length fits in memory; empty lines are passed
 * over. `-` is standard input.
 * @param read takes one value apart; its faults are told with the number of the line
 * @throws BadInput at the first line that cannot be used, or when the file cannot be read
 */
export async function* readJsonLines<T>(
  file: string,
  read: (json: unknown) => Outcome<T>,
  io: Io,
): AsyncGenerator<T, void, undefined> {
  const source = file === '-' ? 'standard input' : file;
  let line = 0;
  for await (const lines of linesOf(file, source, io)) {
    for (const bytes of lines) {
      line += 1;
      if (bytes.every((byte) => byte === 32 || byte === 13 || byte === 9)) continue;
      const json = parseJson(bytes, LINE_BYTES);
      const value = json.ok ? read(json.value) : json;
      if (value.ok) yield value.value;
      else throw new BadInput(source, atLine(line, value.faults));
    }
  }
}

function atLine(line: number, faults: readonly { readonly pointer: string; readonly detail: string }[]) {
  return faults.map(({ pointer, detail }) => ({
    pointer,
    detail: `Line ${line}: ${detail.replace('The file', 'The line')}`,
  }));
}

/** Whole lines, a chunk's worth at a time: handing over single lines would cost more than reading them. */
async function* linesOf(file: string, source: string, io: Io): AsyncGenerator<Uint8Array[], void, undefined> {
  let open: Uint8Array = new Uint8Array();
  for await (const chunk of chunksOf(file, source, io)) {
    const bytes = open.length === 0 ? chunk : Buffer.concat([open, chunk]);
    const lines: Uint8Array[] = [];
    let from = 0;
    for (let end = bytes.indexOf(NEW_LINE); end !== -1; end = bytes.indexOf(NEW_LINE, from)) {
      lines.push(bytes.subarray(from, end));
      from = end + 1;
    }
    open = bytes.subarray(from);
    if (open.length > LINE_BYTES) {
      const detail = `A line is longer than ${LINE_BYTES} bytes; write one JSON value a line.`;
      throw new BadInput(source, [{ pointer: '#', detail }]);
    }
    yield lines;
  }
  if (open.length > 0) yield [open];
}

async function* chunksOf(file: string, source: string, io: Io): AsyncGenerator<Uint8Array, void, undefined> {
  if (file === '-') {
    yield await io.stdin();
    return;
  }
  try {
    if ((await stat(file)).isDirectory()) {
      throw new BadInput(source, [{ pointer: '#', detail: `${file} is a folder; name the file in it.` }]);
    }
    yield* createReadStream(file, { highWaterMark: 256 * 1024 }) as AsyncIterable<Uint8Array>;
  } catch (error) {
    if (!(error instanceof Error) || !('code' in error)) throw error;
    const detail =
      error.code === 'ENOENT' ? `There is no file ${file}.` : `${file} cannot be read (${String(error.code)}).`;
    throw new BadInput(source, [{ pointer: '#', detail }]);
  }
}
