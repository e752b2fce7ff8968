import { selectorOf } from '../domain/mark-region.js';
import type { MarkWish } from '../marks.service.js';
import type { StoredMark } from '../store/exhibit-mark.store.js';
import type { MarkDto, MarkWishDto } from './mark.dto.js';

export function markWish({ selector, says }: MarkWishDto): MarkWish {
  const { type, value, conformsTo } = selector;
  return {
    selector: { type, value, ...(conformsTo === undefined ? {} : { conformsTo }) },
    ...(says === undefined ? {} : { says }),
  };
}

/** A mark as a web annotation. */
export function markDto({ row, withdrawal }: StoredMark): MarkDto {
  const { id, exhibitId, photoSha256, width, height, pipeline, polygon, says, madeAt, madeBy } = row;
  return {
    '@context': 'http://www.w3.org/ns/anno.jsonld',
    id,
    type: 'Annotation',
    created: madeAt,
    creator: { kind: madeBy.kind, id: madeBy.id, name: madeBy.name },
    ...(says === null ? {} : { body: { type: 'TextualBody', value: says, purpose: 'commenting' } }),
    target: { source: `/v1/photos/${exhibitId}`, selector: selectorOf(polygon, { width, height }) },
    polygon: polygon.map((corner) => [...corner]),
    photo: { sha256: photoSha256, width, height, pipeline },
    ...(withdrawal ? { withdrawnAt: withdrawal.withdrawnAt, withdrawnBy: withdrawal.withdrawnBy } : {}),
  };
}
