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
