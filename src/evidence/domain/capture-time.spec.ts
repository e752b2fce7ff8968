import { describe, expect, it } from 'vitest';
import { captureTime, captureWindow } from './capture-time.js';

// Tags and formats: Exif 2.32 (CIPA DC-008) 4.6.5 and 4.6.6. Instants worked out by hand from the offsets.
describe('the capture time', () => {
  it('joins date, offset and fraction into an instant', () => {
    expect(captureTime({ original: '2025:03:09 14:05:07', originalOffset: '-05:00', originalSubSec: '042' })).toEqual({
      capturedAt: '2025-03-09T19:05:07.042Z',
      capturedAtLocal: '2025-03-09T14:05:07.042',
      zoneUnknown: false,
      from: 'original',
    });
  });

  it.each([
    ['5', '.500'],
    ['042', '.042'],
    ['04', '.040'],
    ['616284', '.616'],
    ['', '.000'],
    ['   ', '.000'],
    ['abc', '.000'],
    ['9999999999', '.999'],
  ])('reads the sub-second digits %j from the left as %s', (originalSubSec, fraction) => {
    const capture = captureTime({ original: '2025:03:09 14:05:07', originalOffset: '+00:00', originalSubSec });
    expect(capture?.capturedAt).toBe(`2025-03-09T14:05:07${fraction}Z`);
  });

  it.each([undefined, '', '   :  ', 'EST', '+5:00', '+15:00', '+14:01', '-05:60', '0500'])(
    'keeps the local time and says that the zone is unknown for offset %j',
    (originalOffset) => {
      const raw = { original: '2025:03:09 14:05:07', ...(originalOffset === undefined ? {} : { originalOffset }) };
      expect(captureTime(raw)).toEqual({
        capturedAtLocal: '2025-03-09T14:05:07.000',
        zoneUnknown: true,
        from: 'original',
      });
    },
  );

  it.each([
    '0000:00:00 00:00:00',
    '    :  :     :  :  ',
    '2025:02:29 10:00:00',
    '2025:13:01 10:00:00',
    '2025:01:01 24:00:00',
    '0000:01:01 00:00:00',
    '2025:01:01',
    'yesterday',
    '',
  ])('has none for %j', (original) => {
    expect(captureTime({ original })).toBeUndefined();
  });

  it('falls back to the digitized time, then to the GPS clock, in that order', () => {
    const gps = { gpsDate: '2025:03:09', gpsTime: [19, 5, 7.25] };
    const digitized = { digitized: '2025:03:09 14:06:00', digitizedOffset: '-05:00' };
    expect(captureTime({ original: '0000:00:00 00:00:00', ...digitized, ...gps })).toMatchObject({
      from: 'digitized',
      capturedAt: '2025-03-09T19:06:00.000Z',
    });
    expect(captureTime(gps)).toEqual({ from: 'gps', capturedAt: '2025-03-09T19:05:07.250Z', zoneUnknown: false });
  });

  it.each([[[24, 0, 0]], [[1, 60, 0]], [[1, 1, 60]], [[Number.NaN, 0, 0]], [[1, 2]], [[1.5, 0, 0]], [[-1, 0, 0]]])(
    'takes no GPS time from %j',
    (gpsTime) => {
      expect(captureTime({ gpsDate: '2025:03:09', gpsTime })).toBeUndefined();
    },
  );

  it('takes no GPS time from a date that does not exist', () => {
    // An iPhone 6 wrote 2014:09:259.
    expect(captureTime({ gpsDate: '2014:09:259', gpsTime: [13, 5, 12] })).toBeUndefined();
  });

  it('borrows the offset of a field that holds the same time', () => {
    const modified = { modified: '2025:03:09 14:05:07', modifiedOffset: '-05:00' };
    expect(captureTime({ original: '2025:03:09 14:05:07', ...modified })).toMatchObject({
      capturedAt: '2025-03-09T19:05:07.000Z',
      zoneUnknown: false,
    });
    expect(captureTime({ original: '2025:03:09 14:05:08', ...modified })).toMatchObject({ zoneUnknown: true });
  });

  it.each([
    ['2025:03:09 14:05:20', [19, 5, 7], '-05:00', '2025-03-09T19:05:20.000Z'],
    // Nepal is 5 hours and 45 minutes ahead of UTC.
    ['2025:03:10 00:50:00', [19, 5, 7], '+05:45', '2025-03-09T19:05:00.000Z'],
  ] as const)('takes the offset of %s from a fix at %j, saying so', (original, gpsTime, _offset, capturedAt) => {
    expect(captureTime({ original, gpsDate: '2025:03:09', gpsTime })).toMatchObject({
      capturedAt,
      zoneUnknown: false,
      from: 'original',
      offsetFrom: 'gps',
    });
  });

  it.each([
    ['an old fix', '2025:03:09 14:12:00', [19, 5, 7]],
    ['a fix of another day', '2025:03:12 14:05:07', [19, 5, 7]],
  ] as const)('believes no offset from %s', (_what, original, gpsTime) => {
    expect(captureTime({ original, gpsDate: '2025:03:09', gpsTime })).toMatchObject({ zoneUnknown: true });
  });

  it.each([
    ['2026-03-01T09:00:00-06:00', { capturedAt: '2026-03-01T15:00:00.000Z', zoneUnknown: false }],
    ['2026-03-01T09:00:00.25Z', { capturedAt: '2026-03-01T09:00:00.250Z', zoneUnknown: false }],
    ['2026-03-01T09:00', { capturedAtLocal: '2026-03-01T09:00:00.000', zoneUnknown: true }],
  ])('falls back to XMP last: %s', (xmpCreated, expected) => {
    expect(captureTime({ xmpCreated })).toMatchObject({ ...expected, from: 'xmp' });
    expect(captureTime({ xmpCreated, original: '2025:03:09 14:05:07' })?.from).toBe('original');
  });

  it.each(['2026-03-01', '2026-02-30T10:00:00Z', 'soon', ''])('has none for XMP %j', (xmpCreated) => {
    expect(captureTime({ xmpCreated })).toBeUndefined();
  });

  it('opens a window of 14 hours either way where the zone is unknown', () => {
    const window = captureWindow({ capturedAtLocal: '2025-03-09T14:05:07.000', zoneUnknown: true, from: 'original' });
    expect([window.from.toString(), window.to.toString()]).toEqual(['2025-03-09T00:05:07Z', '2025-03-10T04:05:07Z']);
  });
});
