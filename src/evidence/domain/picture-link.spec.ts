import { createHmac } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { judgeLink, signLink, type PictureLink } from './picture-link.js';

const SECRET = 'a secret of thirty-two characters';
const LINK: PictureLink = {
  tenant: '0f8fad5b-d9cb-469f-a165-70867728950e',
  photo: '7c9e6679-7425-40de-944b-e07fc1f90ae7',
  size: 1024,
  until: 1_772_442_000,
};

describe('a link to a picture', () => {
  it('counts until its second and not from it on', () => {
    const signature = signLink(LINK, SECRET);
    expect(judgeLink(LINK, signature, SECRET, LINK.until - 1)).toBe('good');
    expect(judgeLink(LINK, signature, SECRET, LINK.until)).toBe('late');
  });

  it.each([
    ['tenant', { tenant: LINK.photo }],
    ['photo', { photo: LINK.tenant }],
    ['size', { size: 2048 }],
    ['time', { until: LINK.until + 1 }],
  ])('is forged with another %s', (_what, other) => {
    expect(judgeLink({ ...LINK, ...other }, signLink(LINK, SECRET), SECRET, 0)).toBe('forged');
  });

  it('is forged with another secret, and with anything that is no signature', () => {
    const good = signLink(LINK, SECRET);
    for (const signature of [signLink(LINK, `${SECRET}!`), '', 'x', `${good}A`, good.slice(0, -1), '='.repeat(43)]) {
      expect(judgeLink(LINK, signature, SECRET, 0)).toBe('forged');
    }
  });

  it('is signed with the HMAC that RFC 4231 gives examples of', () => {
    // RFC 4231, test case 2: that this runtime's HMAC-SHA256 is the published one.
    const mac = createHmac('sha256', 'Jefe').update('what do ya want for nothing?').digest('hex');
    expect(mac).toBe('5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843');
    expect(signLink(LINK, SECRET)).toHaveLength(43);
  });
});
