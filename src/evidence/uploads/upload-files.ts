import { createReadStream } from 'node:fs';
import { readdir, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import type { Readable } from 'node:stream';
import { Injectable } from '@nestjs/common';
import { parseUuid } from '../../kernel/ids.js';
import type { Config } from '../../platform/config/config.js';
import { InjectConfig } from '../../platform/config/inject-config.js';
import { PhotoFolders } from '../store/photo-folders.js';
import type { UploadRow } from '../store/upload.store.js';
import { TusProtocol, uploadKey, type TusAnswer, type TusRequest } from './tus-protocol.js';

type Which = Pick<UploadRow, 'tenantId' | 'id'>;

/** The bytes of resumable uploads on their way: a folder for each tenant, a file for each upload. */
@Injectable()
export class UploadFiles {
  private readonly folder: string;
  private readonly protocol: TusProtocol;

  constructor(folders: PhotoFolders, @InjectConfig() config: Config) {
    this.folder = folders.uploads;
    this.protocol = new TusProtocol(this.folder, config.limits.uploadBytes);
  }

  /** One request of the protocol. @throws Refused */
  pass({ tenantId, id }: Which, request: Omit<TusRequest, 'key'>): Promise<TusAnswer> {
    return this.protocol.pass({ ...request, key: uploadKey(tenantId, id) });
  }

  /** Bytes that are there and when the last came; undefined when there is no file. */
  async facts(which: Which): Promise<{ readonly bytes: number; readonly changedMs: number } | undefined> {
    const found = await stat(this.path(which)).catch(() => undefined);
    return found && { bytes: found.size, changedMs: found.mtimeMs };
  }

  read(which: Which): Readable {
    return createReadStream(this.path(which));
  }

  async remove(which: Which): Promise<void> {
    const path = this.path(which);
    for (const each of [path, `${path}.json`]) await rm(each, { force: true });
  }

  /** Every upload that has a file. */
  async *all(): AsyncIterable<Which> {
    for (const tenantId of await idsIn(this.folder)) {
      for (const id of await idsIn(join(this.folder, tenantId))) yield { tenantId, id };
    }
  }

  private path({ tenantId, id }: Which): string {
    return join(this.folder, uploadKey(tenantId, id));
  }
}

async function idsIn(folder: string): Promise<string[]> {
  return (await readdir(folder)).filter((name) => parseUuid(name) === name);
}
