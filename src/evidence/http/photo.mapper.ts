import { may, type Actor } from '../../access/access.contract.js';
import { PLACE_FIELDS } from '../domain/recorded-fields.js';
import type { ExhibitView } from '../evidence.service.js';
import type { Intake } from '../photo-intake.service.js';
import type { ExhibitDto, PhotoReceiptDto } from './photo.dto.js';

/** The receipt of a photo. @param sentId id under which it was sent */
export function receiptDto({ row }: Intake, sentId: string): PhotoReceiptDto {
  const { id, item, shows, sha256, bytes, receivedAt, withdrawnAt, state, failure, reading } = row;
  const advice = reading?.quality?.advice;
  return {
    id,
    item,
    shows,
    sha256,
    bytes,
    receivedAt,
    ...(id === sentId ? {} : { sameAs: id }),
    ...(withdrawnAt === null ? {} : { withdrawnAt }),
    state,
    ...(failure === null ? {} : { failure }),
    ...(advice === undefined ? {} : { advice: [...advice] }),
    ...(reading?.labelCheck === undefined ? {} : { label: reading.labelCheck }),
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

/** The precise place and whatever is measured from it are for analysts only. */
function shownReading(reading: NonNullable<ExhibitView['row']['reading']>, actor: Actor): object {
  if (may(actor, 'exhibit.locate')) return reading;
  const { position: _place, fields, doubts, ...rest } = reading;
  return {
    ...rest,
    ...(fields ? { fields: fields.filter(({ field }) => !PLACE_FIELDS.includes(field)) } : {}),
    doubts: doubts.filter(({ kind }) => kind !== 'far from the address'),
  };
}
