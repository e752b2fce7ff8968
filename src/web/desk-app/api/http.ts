/** A refusal by the service (RFC 9457), or by the line to it. */
export class Trouble extends Error {
  constructor(
    /** HTTP status; 0 where no answer came. */
    readonly status: number,
    /** Last part of the problem's type, e.g. `version-changed`; `no-answer` where none came. */
    readonly code: string,
    /** A short sentence. */
    readonly title: string,
    /** What happened and what to do. */
    readonly detail: string,
    /** Fields and what is wrong with them. */
    readonly faults: readonly { readonly pointer: string; readonly detail: string }[] = [],
  ) {
    super(`${title} ${detail}`);
  }

  get signedOut(): boolean {
    return this.status === 401;
  }
}

export interface Answer<T> {
  readonly body: T;
  /** Version of the thing, to be sent back as If-Match; undefined where it has none. */
  readonly version: string | undefined;
}

export interface Sending {
  readonly method: 'POST' | 'PUT' | 'PATCH' | 'DELETE';
  readonly body?: unknown;
  /** The version that an act was based on. */
  readonly version?: string | undefined;
  /** Names one intention: the same key again is the same act. Absent: a new one. */
  readonly key?: string;
}

/** Reads from the service. @throws Trouble */
export async function read<T>(address: string, signal?: AbortSignal): Promise<Answer<T>> {
  return answer<T>(await reach(address, { headers: { accept: 'application/json' }, ...(signal ? { signal } : {}) }));
}

/** Changes something. @throws Trouble */
export async function send<T>(address: string, { method, body, version, key }: Sending): Promise<Answer<T>> {
  return answer<T>(
    await reach(address, {
      method,
      headers: {
        accept: 'application/json',
        ...(method === 'POST' ? { 'idempotency-key': `"${key ?? crypto.randomUUID()}"` } : {}),
        ...(version === undefined ? {} : { 'if-match': version }),
        ...(body === undefined ? {} : { 'content-type': 'application/json' }),
      },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    }),
  );
}

async function reach(address: string, init: RequestInit): Promise<Response> {
  try {
    return await fetch(address, { credentials: 'same-origin', ...init });
  } catch (error) {
    if (init.signal?.aborted) throw error;
    throw new Trouble(
      0,
      'no-answer',
      'The service does not answer.',
      'Check the line; what you typed is still here. Try again in a moment.',
    );
  }
}

async function answer<T>(response: Response): Promise<Answer<T>> {
  const text = await response.text();
  const body = parsed(text);
  if (!response.ok) throw troubleOf(response.status, body);
  // The service says what it answers in its description; a body of another shape would be a fault of its own.
  return { body: body as T, version: response.headers.get('etag') ?? undefined };
}

function parsed(text: string): unknown {
  if (text === '') return undefined;
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

function troubleOf(status: number, body: unknown): Trouble {
  const problem = (typeof body === 'object' && body !== null ? body : {}) as {
    readonly type?: string;
    readonly title?: string;
    readonly detail?: string;
    readonly errors?: readonly { readonly pointer: string; readonly detail: string }[];
  };
  return new Trouble(
    status,
    problem.type?.split('/').at(-1) ?? 'unknown',
    problem.title ?? `The service refused this (${status}).`,
    problem.detail ?? 'Try again; if it stays so, tell your administrator.',
    problem.errors ?? [],
  );
}
