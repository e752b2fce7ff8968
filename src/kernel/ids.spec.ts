import { describe, expect, it } from 'vitest';
import { parseUuid } from './ids.js';

describe('parseUuid', () => {
  // Test vectors of RFC 9562 appendix A (versions 4 and 7), lower-cased.
  it.each([
    ['919108f7-52d1-4320-9bac-f847db4148a8', '919108f7-52d1-4320-9bac-f847db4148a8'],
    ['017F22E2-79B0-7CC3-98C4-DC0C0C07398F', '017f22e2-79b0-7cc3-98c4-dc0c0c07398f'],
  ])('reads %s', (text, uuid) => {
    expect(parseUuid(text)).toBe(uuid);
  });

  it.each([
    '',
    '919108f752d143209bacf847db4148a8',
    '{919108f7-52d1-4320-9bac-f847db4148a8}',
    '919108f7-52d1-4320-7bac-f847db4148a8',
    '919108f7-52d1-0320-9bac-f847db4148a8',
    '919108f7-52d1-4320-9bac-f847db4148a8\n',
  ])('refuses %j', (text) => {
    expect(parseUuid(text)).toBeUndefined();
  });
});
