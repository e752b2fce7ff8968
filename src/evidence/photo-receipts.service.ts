import type { Readable } from 'node:stream';
import { Injectable } from '@nestjs/common';
import type { Actor } from '../access/access.contract.js';
import { PhotoIntakeService, type ArrivingPhoto, type Intake } from './photo-intake.service.js';
import { PhotoReaderService } from './photo-reader.service.js';

/** Takes a photo in and, where there is time for it, looks at it before the receipt goes out. */
@Injectable()
export class PhotoReceiptsService {
  constructor(
    private readonly intake: PhotoIntakeService,
    private readonly reader: PhotoReaderService,
  ) {}

  /** As `PhotoIntakeService.keep`; the row holds what the reader found, if it was done in time. */
  async keep(actor: Actor, photo: ArrivingPhoto, content: Readable): Promise<Intake> {
    return this.lookedAt(await this.intake.keep(actor, photo, content));
  }

  /** The same for a photo that was taken in some other way. It is on disk and in the database already. */
  async lookedAt(intake: Intake): Promise<Intake> {
    return { ...intake, row: await this.reader.readForReceipt(intake.row) };
  }
}
