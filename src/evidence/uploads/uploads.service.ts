import { randomUUID } from 'node:crypto';
import { Injectable } from '@nestjs/common';
import { actorRef, type Actor } from '../../access/access.contract.js';
import { Clock } from '../../platform/clock.js';
import type { Config } from '../../platform/config/config.js';
import { InjectConfig } from '../../platform/config/inject-config.js';
import { Database } from '../../platform/db/database.js';
import { scopeOf } from '../../platform/http/caller.js';
import { Refused } from '../../platform/http/problems.js';
import type { UploadMetadata } from '../domain/upload-metadata.js';
import { PhotoIntakeService, type ArrivingPhoto, type Intake } from '../photo-intake.service.js';
import { UploadStore, type UploadRow } from '../store/upload.store.js';
import type { TusAnswer, TusRequest } from './tus-protocol.js';
import { UploadFiles } from './upload-files.js';

/**
 * Resumable uploads. Their bytes lie in the folder of uploads until all are there; then the photo is taken in exactly as one that came in a
 * single request, and the partial file stays until the upload expires, so that a client that lost the last answer finds it complete.
 */
@Injectable()
export class UploadsService {
  /** Commits under way in this process, by upload. */
  private readonly running = new Map<string, Promise<Intake>>();

  constructor(
    private readonly db: Database,
    private readonly uploads: UploadStore,
    private readonly intake: PhotoIntakeService,
    private readonly files: UploadFiles,
    private readonly clock: Clock,
    @InjectConfig() private readonly config: Config,
  ) {}

  /**
   * Begins an upload. @param bytes length of the whole photo
   * @throws Refused as for a photo sent at once, too-many-uploads, photo-quota-reached
   */
  async create(
    actor: Actor,
    metadata: UploadMetadata,
    bytes: number,
    request: Pick<TusRequest, 'headers' | 'body'>,
  ): Promise<{ readonly row: UploadRow; readonly answer: TusAnswer }> {
    const now = this.clock.now();
    const senderRef = actorRef(actor);
    const row = await this.db.inTenant(scopeOf(actor), async (tx) => {
      const { visitId } = await this.intake.admit(tx, actor, arriving(metadata), bytes);
      await this.uploads.removeExpired(tx, actor.tenant, now.toString());
      const open = await this.uploads.open(tx, actor.tenant, senderRef, now.toString());
      if (open >= this.config.photos.openUploads) {
        throw new Refused('too-many-uploads', `${open} photos are on their way already. Finish some of them first.`, {
          retryAfterSeconds: 60,
        });
      }
      const made: UploadRow = {
        id: randomUUID(),
        tenantId: actor.tenant,
        visitId,
        inspectionId: metadata.inspectionId,
        photo: metadata,
        sha256: metadata.sha256,
        bytes,
        senderRef,
        sender: actor,
        createdAt: now.toString(),
        expiresAt: now.add({ hours: this.config.photos.uploadHours }).toString(),
        exhibitId: null,
        refusal: null,
      };
      await this.uploads.add(tx, made);
      return made;
    });
    return { row, answer: await this.files.pass(row, { ...request, method: 'POST' }) };
  }

  /** The upload, if it is the actor's own. @throws Refused not-found; the refusal of a photo that was not taken */
  async mine(actor: Actor, id: string): Promise<UploadRow> {
    const row = await this.db.inTenant(scopeOf(actor), (tx) => this.uploads.find(tx, actor.tenant, id));
    if (!row || hasExpired(row, this.clock.now()) || row.senderRef !== actorRef(actor)) {
      throw noUpload();
    }
    if (row.refusal) throw new Refused(row.refusal.code, row.refusal.detail);
    return row;
  }

  /** HEAD and PATCH of the protocol. @throws Refused */
  pass(row: UploadRow, request: Omit<TusRequest, 'key'>): Promise<TusAnswer> {
    return this.files.pass(row, request);
  }

  /** Ends an upload at the sender's wish. A photo that was taken in already stays. */
  async end(row: UploadRow): Promise<void> {
    await this.files.remove(row);
    await this.db.inTenant({ tenant: row.tenantId }, (tx) => this.uploads.remove(tx, row.tenantId, row.id));
  }

  /**
   * Takes in the photo of an upload whose bytes are all there. Repeating it gives the same receipt; a client may forget the photo once it
   * has seen it.
   * @throws Refused upload-incomplete, upload-digest-mismatch, or as for a photo sent at once
   */
  commit(row: UploadRow): Promise<Intake> {
    const running = this.running.get(row.id);
    if (running) return running;
    const started = this.commitOne(row).finally(() => this.running.delete(row.id));
    this.running.set(row.id, started);
    return started;
  }

  private async commitOne(given: UploadRow): Promise<Intake> {
    const { tenantId: tenant, id } = given;
    const row = await this.db.inTenant({ tenant }, (tx) => this.uploads.find(tx, tenant, id));
    if (!row) throw noUpload();
    if (row.refusal) throw new Refused(row.refusal.code, row.refusal.detail);
    if (row.exhibitId !== null) return this.intake.known(row.sender, row.exhibitId);
    const offset = (await this.files.facts(row))?.bytes ?? 0;
    if (offset < row.bytes) {
      throw new Refused('upload-incomplete', `${offset} of ${row.bytes} bytes are here. Send the rest first.`, {
        offset,
      });
    }
    try {
      const taken = await this.intake.keep(row.sender, arriving(row.photo), this.files.read(row));
      await this.db.inTenant({ tenant }, (tx) => this.uploads.kept(tx, row, taken.row.id));
      return taken;
    } catch (error) {
      throw await this.refuse(row, error);
    }
  }

  /** A photo that is not taken will never be: its bytes go, and whoever asks is told why. An outage is not its fault. */
  private async refuse(row: UploadRow, error: unknown): Promise<unknown> {
    if (isGone(error)) {
      // Another process was faster: it has refused the photo and removed its bytes.
      const now = await this.db.inTenant({ tenant: row.tenantId }, (tx) => this.uploads.find(tx, row.tenantId, row.id));
      return now?.refusal ? new Refused(now.refusal.code, now.refusal.detail) : noUpload();
    }
    if (!(error instanceof Refused) || PASSING.has(error.code)) return error;
    const code = error.code === 'photo-digest-mismatch' ? 'upload-digest-mismatch' : error.code;
    const refusal = { code, detail: error.message };
    const { tenantId: tenant } = row;
    await this.db.inTenant({ tenant }, (tx) => this.uploads.refused(tx, row, refusal));
    await this.files.remove(row);
    return new Refused(code, error.message, error.extra);
  }
}

/** Refusals that may be another answer later. */
const PASSING: ReadonlySet<string> = new Set(['unavailable', 'photo-quota-reached', 'server-error']);

function arriving({
  photoId,
  inspectionId,
  item,
  shows,
  sha256,
  fileName,
  declaredType,
  takenAt,
}: UploadMetadata): ArrivingPhoto {
  return {
    id: photoId,
    inspectionId,
    item,
    shows,
    sha256,
    ...(fileName === undefined ? {} : { fileName }),
    ...(declaredType === undefined ? {} : { declaredType }),
    ...(takenAt === undefined ? {} : { takenAt }),
  };
}

function noUpload(): Refused {
  return new Refused('not-found', 'There is no such upload. It may have expired; begin a new one.');
}

function isGone(error: unknown): boolean {
  return error instanceof Error && 'code' in error && error.code === 'ENOENT';
}

/** @param now by the clock of the service */
export function hasExpired({ expiresAt }: UploadRow, now: Temporal.Instant): boolean {
  // PostgreSQL writes instants with a blank.
  return Temporal.Instant.compare(now, Temporal.Instant.from(expiresAt.replace(' ', 'T'))) >= 0;
}
