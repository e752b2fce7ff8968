import type { Readable } from 'node:stream';
import { Injectable } from '@nestjs/common';
import { Refused } from '../platform/http/problems.js';
import { InjectLog } from '../platform/telemetry/inject-log.js';
import type { Log } from '../platform/telemetry/log.js';
import { PhotoReaderService } from './photo-reader.service.js';
import type { ExhibitRenditionRow, ExhibitRow } from './store/exhibit.entity.js';
import type { OriginalStore } from './store/original-store.js';
import { PhotoFolders } from './store/photo-folders.js';

/** Content to be sent, with what the answer's headers need. */
export interface Sendable {
  readonly sha256: string;
  readonly bytes: number;
  readonly mediaType: string;
  /** Opens the content; nothing is read before. */
  open(): Readable;
}

/** Hands out what is kept of a photo. Who may see it is asked before. */
@Injectable()
export class PicturesService {
  constructor(
    private readonly folders: PhotoFolders,
    private readonly reader: PhotoReaderService,
    @InjectLog() private readonly log: Log,
  ) {}

  /** Every look leaves a line in the log. @param by reference of whoever looks */
  original(row: ExhibitRow, by: string): Sendable {
    this.log.info({ exhibit: row.id, by }, 'an original photo was handed out');
    return sendable(this.folders.originals, row);
  }

  /**
   * One rendition; made again where its file is missing or cut off. Call it outside of a transaction: making takes a while.
   * @throws Refused not-found with the reason when it cannot be made again
   */
  async rendition(row: ExhibitRow, made: ExhibitRenditionRow): Promise<Sendable> {
    const { renditions } = this.folders;
    if ((await renditions.size(made.sha256)) === made.bytes) return sendable(renditions, made);
    const again = await this.reader.remake(row);
    const found = again.find(({ size }) => size === made.size);
    if (!found)
      throw new Refused('not-found', 'The picture was lost and cannot be made again. Tell whoever runs the service.');
    return sendable(renditions, { ...found, mediaType: made.mediaType });
  }
}

function sendable(
  store: OriginalStore,
  { sha256, bytes, mediaType }: { readonly sha256: string; readonly bytes: number; readonly mediaType: string },
): Sendable {
  return { sha256, bytes, mediaType, open: () => store.get(sha256) };
}
