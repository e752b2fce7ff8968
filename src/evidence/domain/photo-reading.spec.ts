import { describe, expect, it } from 'vitest';
import type { Circumstances } from './doubts.js';
import { photoReading, type RawReading } from './photo-reading.js';

const raw = (change: Partial<RawReading> = {}): RawReading => ({
  stored: { width: 40, height: 30 },
  upright: { width: 40, height: 30 },
  times: {},
  gps: {},
  camera: {},
  truncated: false,
  ...change,
});
const known = (change: Partial<Circumstances> = {}): Circumstances => ({
  receivedAt: '2026-03-09T12:00:00Z',
  mediaType: 'image/jpeg',
  seenOn: 0,
  ...change,
});
const doubts = (reading: Partial<RawReading>, circumstances: Partial<Circumstances> = {}) =>
  photoReading(raw(reading), known(circumstances)).doubts.map(({ kind }) => kind);

describe('the reading of a photo', () => {
  it('has no doubts about an ordinary photo', () => {
    expect(doubts({ times: { original: '2026:03:09 11:59:00', originalOffset: '+00:00' } })).toEqual([]);
  });

  it('doubts a clock that is ahead of the receipt, only by more than ten minutes', () => {
    expect(doubts({ times: { original: '2026:03:09 12:10:00', originalOffset: '+00:00' } })).toEqual([]);
    expect(doubts({ times: { original: '2026:03:09 12:11:00', originalOffset: '+00:00' } })).toEqual(['clock']);
  });

  it('gives a local time without offset every zone on earth before it doubts the clock', () => {
    expect(doubts({ times: { original: '2026:03:10 01:59:00' } })).toEqual([]);
    expect(doubts({ times: { original: '2026:03:10 02:11:00' } })).toEqual(['clock']);
  });

  it('doubts a clock that was never set', () => {
    expect(doubts({ times: { original: '2000:01:01 00:00:00' } })).toEqual(['clock']);
  });

  it('tells a wrong declared type, but not the harmless spellings', () => {
    expect(doubts({}, { mediaType: 'image/png', declaredType: 'image/jpeg' })).toEqual(['type mismatch']);
    for (const declaredType of ['image/jpeg', 'IMAGE/JPEG; q=1', 'image/jpg', 'application/octet-stream', 'image/*']) {
      expect(doubts({}, { declaredType })).toEqual([]);
    }
    expect(doubts({}, { mediaType: 'image/heif', declaredType: 'image/heic' })).toEqual([]);
  });

  it('tells a truncated file and one that was seen before', () => {
    expect(doubts({ truncated: true }, { seenOn: 2 })).toEqual(['truncated', 'seen before']);
  });

  const visit = { from: '2026-03-09T08:00:00Z', to: '2026-03-09T10:00:00Z' };
  const taken = (original: string) => ({ times: { original, originalOffset: '+00:00' } });

  it.each([
    ['2026:03:09 06:00:00', []],
    ['2026:03:09 05:59:00', ['outside the visit']],
    ['2026:03:06 12:00:00', ['outside the visit']],
  ])('taken at %s, two hours before the window being allowed, has %j', (original, expected) => {
    expect(doubts(taken(original), { visit })).toEqual(expected);
  });

  it('counts the days after the visit from the delivery where that was later', () => {
    const late = { receivedAt: '2026-03-20T12:00:00Z' };
    expect(doubts(taken('2026:03:12 10:01:00'), { ...late, visit })).toEqual(['outside the visit']);
    const delivered = { ...visit, deliveredAt: '2026-03-09T18:00:00Z' };
    expect(doubts(taken('2026:03:12 10:01:00'), { ...late, visit: delivered })).toEqual([]);
    const reading = photoReading(raw(taken('2026:03:12 18:06:00')), known({ ...late, visit: delivered }));
    expect(reading.doubts).toEqual([
      {
        kind: 'outside the visit',
        says: 'The camera says that it was taken 3 days after the visit.',
        measured: 72.1,
        threshold: 72,
        unit: 'hours',
      },
    ]);
  });

  it('keeps to limits of the house', () => {
    const limits = { beforeHours: 0, afterHours: 1, farMetres: 1000 };
    expect(doubts(taken('2026:03:09 07:59:00'), { visit, limits })).toEqual(['outside the visit']);
  });

  it('gives a time without offset every zone before it lies outside the visit', () => {
    expect(doubts({ times: { original: '2026:03:08 16:00:00' } }, { visit })).toEqual([]);
    expect(doubts({ times: { original: '2026:03:08 15:59:00' } }, { visit })).toEqual(['outside the visit']);
  });

  it.each([
    // Exif with offset against the phone's instant.
    [taken('2026:03:09 09:00:00'), '2026-03-09T10:10:00+01:00', []],
    [taken('2026:03:09 09:00:00'), '2026-03-09T10:11:00+01:00', ['time disagrees']],
    // Without offset: the clock on the wall, whatever the zone.
    [{ times: { original: '2026:03:09 02:00:00' } }, '2026-03-09T02:05:00-07:00', []],
    [{ times: { original: '2026:03:09 02:00:00' } }, '2026-03-09T03:05:00-07:00', ['time disagrees']],
    // The phone gives only UTC: any zone may make it up.
    [{ times: { original: '2026:03:09 02:00:00' } }, '2026-03-09T09:00:00Z', []],
    [{ times: { original: '2026:03:08 02:00:00' } }, '2026-03-09T09:00:00Z', ['time disagrees']],
  ] as const)('compares %j with the phone, which says %s', (reading, takenAt, expected) => {
    expect(doubts(reading, { takenAt })).toEqual(expected);
  });

  const at = (latitude: number, longitude: number, errorMetres?: number) => ({
    gps: {
      latitude: [latitude, 0, 0],
      latitudeRef: 'N',
      longitude: [longitude, 0, 0],
      longitudeRef: 'E',
      ...(errorMetres === undefined ? {} : { errorMetres }),
    },
  });
  const near = { ...visit, place: { latitude: 48.01, longitude: 11 } };

  it('measures the way to the address, and lets the receiver’s own error count', () => {
    // A hundredth of a degree is 1,111.95 m.
    expect(photoReading(raw(at(48, 11)), known({ visit: near })).doubts).toEqual([
      {
        kind: 'far from the address',
        says: 'Its position is 1.1 km from the address of the visit.',
        measured: 1112,
        threshold: 1000,
        unit: 'metres',
      },
    ]);
    expect(doubts(at(48, 11, 200), { visit: near })).toEqual([]);
  });

  it('has no distance where there is no position, or none of the address', () => {
    expect(doubts(at(0, 0), { visit: near })).toEqual([]);
    expect(doubts({}, { visit: near })).toEqual([]);
    expect(doubts(at(48, 11), { visit })).toEqual([]);
  });

  it.each([
    ['edited', { camera: { software: 'Adobe Photoshop CS6' } }],
    ['edited', { xmp: { creatorTool: 'GIMP 2.10', agents: [] } }],
    ['edited', { xmp: { agents: ['Snapseed 2.0'] } }],
    ['changed later', { times: { original: '2026:03:09 11:00:00', modified: '2026:03:09 11:02:00' } }],
    ['size differs', { exifSize: { width: 40, height: 31 } }],
    ['thumbnail differs', { thumbnail: { width: 160, height: 120, distance: 91 } }],
    ['compressed twice', { jpeg: { raggedness: 0.201, bytesAfterEnd: 0 } }],
    ['stripped', { hasExif: false, jpeg: { ijgQuality: 85, bytesAfterEnd: 0 }, stored: { width: 1600, height: 1200 } }],
  ] as const)('says %s just past the limit', (kind, reading) => {
    expect(doubts(reading)).toEqual([kind]);
  });

  it.each([
    { camera: { software: '14.4' } },
    { times: { original: '2026:03:09 11:00:00', modified: '2026:03:09 11:01:00' } },
    { exifSize: { width: 30, height: 40 } },
    { exifSize: { width: 0, height: 0 } },
    { exifSize: { width: 'x' } },
    { thumbnail: { width: 160, height: 120, distance: 90 } },
    { thumbnail: { width: 160, height: 120 } },
    { jpeg: { raggedness: 0.2, bytesAfterEnd: 5000 } },
    { hasExif: false, jpeg: { ijgQuality: 86, bytesAfterEnd: 0 }, stored: { width: 1600, height: 1200 } },
    { hasExif: false, jpeg: { ijgQuality: 80, bytesAfterEnd: 0 }, stored: { width: 1601, height: 1200 } },
    { hasExif: true, jpeg: { ijgQuality: 80, bytesAfterEnd: 0 }, stored: { width: 1600, height: 1200 } },
  ])('has no doubt about %j', (reading) => {
    expect(doubts(reading)).toEqual([]);
  });

  it('gives every doubt a sentence, and a rate where one was measured', () => {
    const { doubts: found } = photoReading(
      raw({ camera: { software: 'GIMP' }, exifSize: { width: 1, height: 1 } }),
      known(),
    );
    for (const { says, rate } of found) {
      expect(says).toMatch(/^[A-Z].*\.$/);
      expect(rate?.of).toBeGreaterThan(100);
    }
  });

  it('judges each metadata field by itself and keeps what was recorded', () => {
    const reading = photoReading(
      raw({
        times: { original: '0000:00:00 00:00:00', originalOffset: '+25:00', digitized: '2026:03:09 11:00:00' },
        gps: { latitude: [91, 0, 0], latitudeRef: 'N', longitude: [8, 0, 0], longitudeRef: 'E' },
        camera: { make: 'Halde\u0000', model: '\u0001\u0002' },
        orientation: 9,
      }),
      known(),
    );
    const states = Object.fromEntries((reading.fields ?? []).map(({ field, state }) => [field, state]));
    expect(states).toEqual({
      DateTimeOriginal: 'invalid',
      OffsetTimeOriginal: 'invalid',
      SubSecTimeOriginal: 'absent',
      DateTimeDigitized: 'valid',
      OffsetTimeDigitized: 'absent',
      DateTime: 'absent',
      OffsetTime: 'absent',
      GPSTime: 'absent',
      GPSPosition: 'invalid',
      GPSHPositioningError: 'absent',
      Orientation: 'invalid',
      PixelDimensions: 'absent',
      Make: 'valid',
      Model: 'invalid',
      Software: 'absent',
      'XMP date': 'absent',
      'XMP CreatorTool': 'absent',
    });
    expect(reading.fields?.find(({ field }) => field === 'GPSPosition')?.recorded).toBe('91 0 0 N, 8 0 0 E');
    expect(reading.capture).toMatchObject({ from: 'digitized' });
  });

  it('keeps the recorded strings, cleaned, and reads a bad orientation as upright', () => {
    const reading = photoReading(raw({ orientation: 0, times: { original: '0000:00:00 00:00:00\u0000' } }), known());
    expect(reading).toMatchObject({
      orientation: 1,
      capture: null,
      position: 'none recorded',
      recordedTimes: { original: '0000:00:00 00:00:00' },
    });
  });
});
