import { remember, type HeldVisit } from '../keep/database.js';

/** An answer that is not what was asked for. Status 0: there was no line, or the service did not answer in time. */
export class NotThrough extends Error {
  constructor(
    readonly status: number,
    readonly code: string,
    readonly says: string,
    readonly retryAfterMs = 0,
  ) {
    super(says);
  }
}

/** Statuses after which sending the same again may well succeed. */
export function isPassing(status: number): boolean {
  return status === 0 || status === 408 || status === 425 || status === 429 || status >= 500;
}

interface Asking {
  readonly method: 'GET' | 'POST' | 'PUT';
  readonly body?: string | ArrayBuffer;
  readonly headers?: Readonly<Record<string, string>>;
  readonly timeoutMs?: number;
  readonly signal?: AbortSignal;
  /** The answer of the same request, which was made already. */
  readonly under?: Promise<Response> | undefined;
}

const PATIENCE_MS = 15_000;

/**
 * Asks the service, as the visit's crew where the visit has a key.
 * @returns the answer's JSON
 * @throws NotThrough for anything but a success with JSON
 */
export async function ask(visit: Pick<HeldVisit, 'key'> | undefined, path: string, asking: Asking): Promise<unknown> {
  const { method, body, headers = {}, timeoutMs = PATIENCE_MS, signal, under } = asking;
  const sent: Record<string, string> = { accept: 'application/json', ...headers };
  if (visit?.key !== undefined) sent['authorization'] = `Bearer ${visit.key}`;
  // By hand, because phones that are still about know neither AbortSignal.any nor AbortSignal.timeout.
  const limit = new AbortController();
  const alarm = setTimeout(() => limit.abort(), timeoutMs);
  signal?.addEventListener('abort', () => limit.abort());
  let answer: Response;
  try {
    const options = { method, cache: 'no-store', headers: sent, signal: limit.signal } as const;
    answer = await (under ?? fetch(path, body === undefined ? options : { ...options, body }));
  } catch (error) {
    throw new NotThrough(0, 'no-line', error instanceof Error ? error.message : '');
  } finally {
    clearTimeout(alarm);
  }
  await noteClock(answer);
  const told = await answer.json().catch(() => undefined);
  if (answer.ok && told !== undefined) return told;
  if (answer.ok) throw new NotThrough(0, 'no-receipt', 'The answer was cut off.');
  throw refusal(answer, told);
}

function refusal(answer: Response, told: unknown): NotThrough {
  const {
    type = '',
    detail,
    title,
    errors,
  } = (told ?? {}) as {
    type?: string;
    detail?: string;
    title?: string;
    errors?: readonly { readonly detail: string }[];
  };
  const says = errors?.map((each) => each.detail).join(' ') ?? detail ?? title ?? '';
  const seconds = Number(answer.headers.get('retry-after') ?? 0);
  return new NotThrough(answer.status, type.replace(/^.*\//, ''), says, Number.isFinite(seconds) ? seconds * 1000 : 0);
}

/** By how much this clock runs ahead, so that times which the service checks are not refused because of it. */
async function noteClock(answer: Response): Promise<void> {
  const date = Date.parse(answer.headers.get('date') ?? '');
  if (Number.isFinite(date)) await remember('aheadMs', Date.now() - date);
}

/** SHA-256 of bytes or text, lower-case hex. */
export async function sha256Hex(content: ArrayBuffer | string): Promise<string> {
  return hexOf(await digest(content));
}

/** SHA-256 as the Content-Digest field writes it (RFC 9530). */
export async function contentDigest(bytes: ArrayBuffer): Promise<string> {
  return `sha-256=:${btoa(String.fromCharCode(...new Uint8Array(await digest(bytes))))}:`;
}

function digest(content: ArrayBuffer | string): Promise<ArrayBuffer> {
  return crypto.subtle.digest('SHA-256', typeof content === 'string' ? new TextEncoder().encode(content) : content);
}

function hexOf(hash: ArrayBuffer): string {
  return Array.from(new Uint8Array(hash), (byte) => byte.toString(16).padStart(2, '0')).join('');
}
