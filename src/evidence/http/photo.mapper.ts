import { may, type Actor } from '../../access/access.contract.js';
import type { ExhibitView } from '../evidence.service.js';
import type { Intake } from '../photo-intake.service.js';
import type { ExhibitDto, PhotoReceiptDto } from './photo.dto.js';

/** The receipt of a photo. @param sentId id under which it was sent */
export function receiptDto({ row }: Intake, sentId: string): PhotoReceiptDto {
  const { id, item, shows, sha256, bytes, receivedAt, withdrawnAt } = row;
  return {
    id,
    item,
    shows,
    sha256,
    bytes,
    receivedAt,
    ...(id === sentId ? {} : { sameAs: id }),
    ...(withdrawnAt === null ? {} : { withdrawnAt }),
  };
}

/** An exhibit as this actor may see it: the precise place is left out for everybody but analysts. */
export function exhibitDto({ row, renditions }: ExhibitView, actor: Actor): ExhibitDto {
  const { id, inspectionId, visitId, item, shows, sha256, bytes, mediaType, receivedAt, receivedBy, state } = row;
  return {
    id,
    inspectionId,
    visitId,
    item,
    shows,
    sha256,
    bytes,
    mediaType,
    ...(row.fileName === null ? {} : { fileName: row.fileName }),
    receivedAt,
    receivedBy: { kind: receivedBy.kind, id: receivedBy.id, name: receivedBy.name },
    state,
    ...(row.failure === null ? {} : { failure: row.failure }),
    ...(row.reading === null ? {} : { reading: shownReading(row.reading, actor) }),
    renditions: renditions.map(({ size, width, height, bytes: length }) => ({
      size,
      width,
      height,
      bytes: length,
      address: `/v1/photos/${id}/renditions/${size}`,
    })),
    ...(row.withdrawnAt === null ? {} : { withdrawnAt: row.withdrawnAt }),
  };
}

function shownReading(reading: NonNullable<ExhibitView['row']['reading']>, actor: Actor): object {
  const { position, ...rest } = reading;
  return may(actor, 'exhibit.locate') ? { ...rest, position } : rest;
}
