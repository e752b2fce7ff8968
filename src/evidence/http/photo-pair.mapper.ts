import { reuseRate } from '../domain/reuse-bands.js';
import type { PairsOfPhoto } from '../photo-pairs.service.js';
import type { PhotoOfPair, StoredPair } from '../store/photo-pair.store.js';
import type { PhotoPairDto, PhotoPairListDto } from './photo-pair.dto.js';

export function pairDto(pair: StoredPair): PhotoPairDto {
  const rate = reuseRate(pair.foundBy);
  return {
    ...pair,
    ...(rate ? { rate } : {}),
    later: photoDto(pair.later),
    earlier: photoDto(pair.earlier),
    opinions: pair.opinions.map(({ givenBy: { kind, id, name }, ...said }) => ({
      ...said,
      givenBy: { kind, id, name },
    })),
  };
}

export function pairListDto({ comparison, pairs }: PairsOfPhoto): PhotoPairListDto {
  const items = pairs.map(pairDto);
  if (!comparison) return { items };
  const { says, ...counts } = comparison;
  return { comparison: { ...counts, ...(says === null ? {} : { says }) }, items };
}

function photoDto(photo: PhotoOfPair): PhotoPairDto['later'] {
  return { ...photo, claims: [...photo.claims], picture: `/v1/photos/${photo.id}/renditions/1024` };
}
