import { open } from 'node:fs/promises';
import { bad, good, type Fault, type Outcome } from '../kernel/outcome.js';
import type { Io } from './verb.js';

/** A fault with its place; in a policy the place is a decision, rule, column and character range. */
export interface InputFault extends Fault {
  readonly decision?: string | undefined;
  readonly rule?: string | undefined;
  readonly column?: string | undefined;
  readonly from?: number | undefined;
  readonly to?: number | undefined;
}

/** Input cannot be used. `source` says which file; faults have JSON pointers into it where that is possible. */
export class BadInput extends Error {
  override readonly name = 'BadInput';

  constructor(
    readonly source: string,
    readonly faults: readonly InputFault[],
  ) {
    super(`${source} cannot be used`);
  }
}

/** Most bytes of documents other than claim files. */
export const DOCUMENT_BYTES = 8 * 1024 * 1024;

/**
 * Reads a JSON file, or standard input for `-`.
 * @throws BadInput when it is not there, too large, not UTF-8 or not JSON
 */
export async function readJson(file: string, mostBytes: number, io: Io): Promise<unknown> {
  const source = file === '-' ? 'standard input' : file;
  const bytes = file === '-' ? await io.stdin() : await readBytes(file, mostBytes);
  const outcome = parseJson(bytes, mostBytes);
  if (!outcome.ok) throw new BadInput(source, outcome.faults);
  return outcome.value;
}

/** Parses bytes as JSON text in UTF-8; a byte order mark at the start is ignored (RFC 8259 section 8.1 allows it). */
export function parseJson(bytes: Uint8Array, mostBytes: number): Outcome<unknown> {
  if (bytes.length > mostBytes) return refused(`is larger than ${mostBytes} bytes; split it or leave something out`);
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return refused('is not text in UTF-8; save it as UTF-8 and try again');
  }
  if (text.trim() === '') return refused('is empty');
  try {
    return good(JSON.parse(text) as unknown);
  } catch (error) {
    const says = error instanceof Error ? error.message : String(error);
    return refused(`is not JSON: ${says}`);
  }
}

function refused(says: string): Outcome<unknown> {
  return bad({ pointer: '#', detail: `The file ${says}.` });
}

/** Reads no more than the limit and one byte, so that an endless file ends. */
async function readBytes(file: string, mostBytes: number): Promise<Uint8Array> {
  try {
    await using handle = await open(file, 'r');
    const { size } = await handle.stat();
    const wanted = Math.min(size, mostBytes) + 1;
    const buffer = new Uint8Array(wanted);
    let length = 0;
    while (length < wanted) {
      const { bytesRead } = await handle.read(buffer, length, wanted - length, null);
      if (bytesRead === 0) break;
      length += bytesRead;
    }
    return buffer.subarray(0, length);
  } catch (error) {
    throw new BadInput(file, [{ pointer: '#', detail: whyUnreadable(file, error) }]);
  }
}

function whyUnreadable(file: string, error: unknown): string {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  switch (code) {
    case 'ENOENT':
    case 'ENOTDIR':
      return `There is no file ${file}.`;
    case 'EISDIR':
      return `${file} is a folder; name the file in it.`;
    case 'EACCES':
    case 'EPERM':
      return `${file} may not be read by this user.`;
    default:
      return `${file} cannot be read (${code || String(error)}).`;
  }
}
