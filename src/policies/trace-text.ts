import { inflateRawSync } from 'node:zlib';

/** The canonical text of a record's trace. @throws Error when it was damaged */
export function traceText(trace: Uint8Array): string {
  return inflateRawSync(trace).toString('utf8');
}
