import { captureTime } from '../../evidence/domain/capture-time.js';
import { DOUBT_LIMITS } from '../../evidence/domain/doubts.js';
import { orientationOf } from '../../evidence/domain/orientation.js';
import { photoReading, type PhotoReading } from '../../evidence/domain/photo-reading.js';
import { jpegHistory } from '../../evidence/domain/jpeg-history.js';
import { compareThumbnail } from '../../evidence/imaging/compare-thumbnail.js';
import type { SetPhoto } from './photo-set.js';
import { share, type Measurement } from './table.js';

/** What the metadata of each photo says. */
export function measureMetadata(photos: readonly SetPhoto[]): Measurement {
  const rows = photos
    .filter(({ label }) => label === undefined)
    .map(({ name, facts, picture }) => {
      if (!facts) return [name, 'cannot be read', '', '', '', ''];
      const { times, gps, orientation, camera } = facts.found;
      const capture = captureTime(times);
      const reading = photoReading({ ...facts.found, truncated: false }, AT_LEAST);
      return [
        name,
        picture ? (picture.truncated ? 'in part' : 'whole') : 'not decoded',
        capture?.capturedAt ?? (capture?.capturedAtLocal ? `${capture.capturedAtLocal}, zone unknown` : 'none'),
        typeof reading.position === 'string'
          ? reading.position
          : `${reading.position.latitude.toFixed(5)}, ${reading.position.longitude.toFixed(5)}`,
        gps.latitude === undefined && orientation === undefined ? '–' : String(orientationOf(orientation).tag),
        [camera.make, camera.model].filter((part) => typeof part === 'string').join(' '),
      ];
    });
  return {
    title: 'Metadata',
    says: 'What is read of each photo. Compare it with another reader of your trust.',
    head: ['photo', 'decoded', 'taken', 'position', 'orientation', 'camera'],
    rows,
  };
}

/** Far in the future, so that no clock is doubted. */
const AT_LEAST = {
  receivedAt: '2100-01-01T00:00:00Z',
  mediaType: 'image/jpeg',
  seenOn: 0,
  limits: DOUBT_LIMITS,
} as const;

/** Photos whose names differ in a last digit only are taken as one picture stored in several orientations. */
export function measureOrientation(photos: readonly SetPhoto[]): Measurement {
  const groups = Map.groupBy(
    photos.filter(({ name }) => /\d\.\w+$/.test(name)),
    ({ name }) => name.replace(/\d(\.\w+)$/, '#$1'),
  );
  const rows = [...groups].flatMap(([group, members]) => {
    const tags = new Set(members.map(({ facts }) => orientationOf(facts?.found.orientation).tag));
    const upright = members.find(({ facts }) => orientationOf(facts?.found.orientation).tag === 1)?.picture?.made.grey;
    if (tags.size < 3 || !upright) return [];
    const apart = members.map(({ picture }) => {
      const grey = picture?.made.grey;
      if (grey?.width !== upright.width || grey.height !== upright.height) return 255;
      return (
        grey.pixels.reduce((sum, level, at) => sum + Math.abs(level - (upright.pixels[at] ?? 0)), 0) /
        grey.pixels.length
      );
    });
    const right = apart.filter((difference) => difference < 8).length;
    return [[group, String(tags.size), share(right, members.length), Math.max(...apart).toFixed(2)]];
  });
  return {
    title: 'Orientation',
    says: 'One picture stored in several orientations must come out the same: mean difference in grey levels at 1024 px.',
    head: ['pictures', 'orientations', 'upright', 'largest difference'],
    rows,
  };
}

/** The doubts that the photos as they are give rise to. Which of them are right, only somebody who knows the photos can say. */
export async function measureDoubts(photos: readonly SetPhoto[]): Promise<Measurement> {
  const readings: PhotoReading[] = [];
  for (const { content, facts, picture, label, mediaType } of photos) {
    if (!facts || !picture || label !== undefined || typeof facts.found.camera.make !== 'string') continue;
    const thumbnail = facts.thumbnail && (await compareThumbnail(facts.thumbnail, picture.made.grey));
    const signals = {
      truncated: picture.truncated,
      ...(mediaType === 'image/jpeg' ? { jpeg: jpegHistory(content) } : {}),
      ...(thumbnail ? { thumbnail } : {}),
    };
    readings.push(photoReading({ ...facts.found, ...signals }, { ...AT_LEAST, mediaType }));
  }
  const could: Readonly<Record<string, (reading: PhotoReading) => boolean>> = {
    edited: () => true,
    'changed later': ({ recordedTimes }) =>
      recordedTimes.original !== undefined && recordedTimes.modified !== undefined,
    'size differs': ({ fields }) => fields?.find(({ field }) => field === 'PixelDimensions')?.state === 'valid',
    'thumbnail differs': ({ thumbnail }) => thumbnail?.distance !== undefined,
    'compressed twice': ({ jpeg }) => jpeg?.raggedness !== undefined,
    truncated: () => true,
    clock: ({ capture }) => capture !== null,
  };
  const rows = Object.entries(could).map(([kind, applies]) => {
    const able = readings.filter(applies);
    return [kind, share(able.filter(({ doubts }) => doubts.some((doubt) => doubt.kind === kind)).length, able.length)];
  });
  return {
    title: 'Doubts about files of cameras',
    says: 'Files that name a camera, as they are: how many each doubt speaks up about, of those that it can judge.',
    head: ['doubt', 'flagged'],
    rows,
  };
}
