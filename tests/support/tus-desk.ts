import { createHash, randomUUID } from 'node:crypto';
import { join } from 'node:path';
import { expect } from 'vitest';
import { UploadSweepService } from '../../src/evidence/uploads/upload-sweep.service.js';
import type { PhotoDesk } from './photo-desk.js';
import { keptFiles } from './photo-scene.js';

export type Headers = Readonly<Record<string, string>>;

export const TUS = { 'tus-resumable': '1.0.0' } as const;
export const CHUNK = { ...TUS, 'content-type': 'application/offset+octet-stream' } as const;

export interface Answer {
  readonly status: number;
  readonly headers: Readonly<Record<string, unknown>>;
  readonly body: Record<string, unknown>;
}

export const sha256 = (content: Uint8Array): string => createHash('sha256').update(content).digest('hex');

/** Speaks tus 1.0.0 with the photo routes of a desk, as its crew unless told otherwise. */
export class TusDesk {
  constructor(private readonly desk: PhotoDesk) {}

  async ask(method: string, url: string, headers: Headers = {}, payload?: Buffer | string): Promise<Answer> {
    const answer = await this.desk.photos.app.inject({
      method: method as 'GET',
      url,
      headers: { ...this.desk.crew, ...headers },
      ...(payload === undefined ? {} : { payload }),
    });
    const isJson = String(answer.headers['content-type']).includes('json');
    const body = isJson ? answer.json<Record<string, unknown>>() : {};
    return { status: answer.statusCode, headers: answer.headers, body };
  }

  /** Upload-Metadata for a photo of the desk's inspection. */
  metadata(content: Uint8Array, more: Headers = {}): string {
    const fields = {
      inspection: this.desk.place.inspection,
      photo: randomUUID(),
      item: 'carton-front',
      shows: 'wide',
      sha256: sha256(content),
      ...more,
    };
    return Object.entries(fields)
      .map(([key, value]) => `${key} ${Buffer.from(value).toString('base64')}`)
      .join(',');
  }

  /** @returns address of the upload */
  async begin(content: Uint8Array, more: Headers = {}): Promise<string> {
    const metadata = this.metadata(content, more);
    const headers = { ...TUS, 'upload-length': String(content.length), 'upload-metadata': metadata };
    const { status, headers: answered, body } = await this.ask('POST', '/v1/uploads', headers);
    expect([status, body]).toEqual([201, {}]);
    return String(answered['location']);
  }

  send(url: string, offset: number, bytes: Buffer, headers: Headers = {}): Promise<Answer> {
    return this.ask('PATCH', url, { ...CHUNK, 'upload-offset': String(offset), ...headers }, bytes);
  }

  receipt(url: string, content: Uint8Array, headers: Headers = {}): Promise<Answer> {
    const body = JSON.stringify({ sha256: sha256(content) });
    return this.ask('PUT', `${url}/receipt`, { 'content-type': 'application/json', ...headers }, body);
  }

  sweep(): Promise<void> {
    return this.desk.photos.app.get(UploadSweepService).sweep();
  }

  /** Files of uploads of the desk's house. */
  async files(): Promise<string[]> {
    const folder = `uploads/${this.desk.place.tenant}/`;
    return (await keptFiles(this.desk.photos)).filter((file) => file.startsWith(folder));
  }

  fileOf(url: string): string {
    return join(this.desk.photos.config.stateDir, 'uploads', this.desk.place.tenant, url.replace('/v1/uploads/', ''));
  }
}
