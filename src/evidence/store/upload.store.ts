import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../../access/access.contract.js';
import type { ProblemCode } from '../../platform/http/problems.js';
import type { UploadMetadata } from '../domain/upload-metadata.js';

/** Why the photo of an upload was not taken: told again to whoever asks. */
export interface UploadRefusal {
  readonly code: ProblemCode;
  readonly detail: string;
}

/** A resumable upload, from its creation until it expires. */
export interface UploadRow {
  readonly id: string;
  readonly tenantId: string;
  readonly visitId: string;
  readonly inspectionId: string;
  readonly photo: UploadMetadata;
  readonly sha256: string;
  readonly bytes: number;
  /** Whose upload it is; nobody else sees it. */
  readonly senderRef: string;
  /** The sender as it was then, so that the upload can be finished without it. */
  readonly sender: Actor;
  readonly createdAt: string;
  readonly expiresAt: string;
  /** Set once the photo is an exhibit. */
  readonly exhibitId: string | null;
  readonly refusal: UploadRefusal | null;
}

const COLUMNS = `id, tenant_id "tenantId", visit_id "visitId", inspection_id "inspectionId", photo, sha256, bytes::float8 bytes,
  sender_ref "senderRef", sender, created_at::text "createdAt", expires_at::text "expiresAt", exhibit_id "exhibitId", refusal`;

/** Resumable uploads in PostgreSQL; their bytes lie in the folder of uploads. */
@Injectable()
export class UploadStore {
  async add(tx: EntityManager, row: UploadRow): Promise<void> {
    await tx.query(
      `insert into photo_upload (id, tenant_id, visit_id, inspection_id, photo, sha256, bytes, sender_ref, sender, created_at, expires_at)
       values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`,
      [
        row.id,
        row.tenantId,
        row.visitId,
        row.inspectionId,
        JSON.stringify(row.photo),
        row.sha256,
        row.bytes,
        row.senderRef,
        JSON.stringify(row.sender),
        row.createdAt,
        row.expiresAt,
      ],
    );
  }

  async find(tx: EntityManager, tenant: string, id: string): Promise<UploadRow | undefined> {
    const [row] = await tx.query<UploadRow[]>(`select ${COLUMNS} from photo_upload where tenant_id = $1 and id = $2`, [
      tenant,
      id,
    ]);
    return row;
  }

  /** Uploads of a sender that are neither finished nor expired. */
  async open(tx: EntityManager, tenant: string, senderRef: string, now: string): Promise<number> {
    const [row] = await tx.query<{ open: number }[]>(
      `select count(*)::integer open from photo_upload
       where tenant_id = $1 and sender_ref = $2 and exhibit_id is null and refusal is null and expires_at > $3`,
      [tenant, senderRef, now],
    );
    return row?.open ?? 0;
  }

  async kept(tx: EntityManager, { tenantId, id }: UploadRow, exhibitId: string): Promise<void> {
    await tx.query(
      'update photo_upload set exhibit_id = $3, refusal = null where tenant_id = $1 and id = $2 and exhibit_id is null',
      [tenantId, id, exhibitId],
    );
  }

  async refused(tx: EntityManager, { tenantId, id }: UploadRow, refusal: UploadRefusal): Promise<void> {
    await tx.query('update photo_upload set refusal = $3 where tenant_id = $1 and id = $2 and exhibit_id is null', [
      tenantId,
      id,
      JSON.stringify(refusal),
    ]);
  }

  async remove(tx: EntityManager, tenant: string, id: string): Promise<void> {
    await tx.query('delete from photo_upload where tenant_id = $1 and id = $2', [tenant, id]);
  }

  /** Forgets what has expired. @param now RFC 3339 */
  async removeExpired(tx: EntityManager, tenant: string, now: string): Promise<void> {
    await tx.query('delete from photo_upload where tenant_id = $1 and expires_at <= $2', [tenant, now]);
  }
}
