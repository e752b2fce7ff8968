import { Readable } from 'node:stream';
import { FileStore } from '@tus/file-store';
import { Server } from '@tus/server';
import { Refused, type ProblemCode } from '../../platform/http/problems.js';

/** The version of the protocol that is spoken (tus 1.0.0). */
export const TUS_VERSION = '1.0.0';
/** Extensions on offer. Lengths are always known beforehand, so creation-defer-length is not among them. */
export const TUS_EXTENSIONS = 'creation,creation-with-upload,expiration,termination';

/** Where the bytes of an upload lie: a folder for each tenant. */
export function uploadKey(tenant: string, id: string): string {
  return `${tenant}/${id}`;
}

export interface TusRequest {
  readonly method: 'POST' | 'HEAD' | 'PATCH' | 'DELETE';
  readonly key: string;
  readonly headers: Readonly<Record<string, string | string[] | undefined>>;
  readonly body?: Readable;
}

export interface TusAnswer {
  readonly status: number;
  /** Bytes that are there; undefined where the answer does not say. */
  readonly offset: number | undefined;
  readonly metadata: string | undefined;
}

const KEY_HEADER = 'x-upload-key';
const BASE = 'http://uploads.invalid/uploads';

/**
 * The protocol itself, by the tus server on a folder. Who may, and what becomes of the bytes, is decided around it. One process at a time
 * may write an upload: its locks are in memory. What two processes would mix up between them does not survive the hash at the end.
 */
export class TusProtocol {
  private readonly server: Server;

  /** @param folder existing folder @param maxBytes most bytes of one upload */
  constructor(folder: string, maxBytes: number) {
    this.server = new Server({
      path: '/uploads',
      datastore: new FileStore({ directory: folder }),
      maxSize: maxBytes,
      namingFunction: (request) => request.headers.get(KEY_HEADER) ?? '',
      getFileIdFromRequest: (request) => new URL(request.url).pathname.replace(/^\/uploads\//, ''),
      generateUrl: (_request, { id }) => id,
      // The answer to a broken request is made by `refusalFor`; this only keeps the server from writing to the console.
      onResponseError: () => undefined,
    });
  }

  /** @throws Refused for whatever the protocol refuses */
  async pass(request: TusRequest): Promise<TusAnswer> {
    const headers = new Headers({ 'tus-resumable': TUS_VERSION, [KEY_HEADER]: request.key });
    for (const name of PASSED_ON) {
      const value = request.headers[name];
      if (typeof value === 'string') headers.set(name, value);
    }
    const url = request.method === 'POST' ? BASE : `${BASE}/${request.key}`;
    const body = request.body ? { body: Readable.toWeb(request.body), duplex: 'half' as const } : {};
    const answer = await this.server.handleWeb(
      new Request(url, { method: request.method, headers, ...body } as RequestInit),
    );
    const offset = answer.headers.get('upload-offset');
    if (answer.status >= 400) throw refusalFor(answer.status, await answer.text());
    return {
      status: answer.status,
      offset: offset === null ? undefined : Number(offset),
      metadata: answer.headers.get('upload-metadata') ?? undefined,
    };
  }
}

/** Headers that the protocol reads. */
const PASSED_ON = ['upload-offset', 'upload-length', 'upload-metadata', 'content-type', 'content-length'] as const;

const REFUSALS: Readonly<Record<number, readonly [ProblemCode, string]>> = {
  400: ['invalid-request', 'Upload-Length or Upload-Offset is missing or is no whole number. See tus 1.0.0.'],
  403: ['invalid-request', 'Upload-Offset must say where the bytes begin.'],
  404: ['not-found', 'There is no such upload. It may have expired; begin a new one.'],
  409: ['upload-offset-differs', 'Ask with HEAD how many bytes are there and go on from there.'],
  410: ['not-found', 'There is no such upload any more. It may have expired; begin a new one.'],
  413: ['photo-too-large', 'That is more than Upload-Length said, or more than is taken. Send a smaller photo.'],
};

/** A refusal of the tus server in our own words; its statuses are kept where the protocol fixes them. */
function refusalFor(status: number, said: string): Error {
  if (/lock/i.test(said)) {
    return new Refused('upload-in-use', 'Another request of this upload is still running. Try again in a moment.', {
      retryAfterSeconds: 1,
    });
  }
  const known = REFUSALS[status];
  if (known) return new Refused(...known);
  return new Error(`the tus server answered ${status}: ${said.trim()}`);
}
