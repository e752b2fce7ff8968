import { describe, expect, it } from 'vitest';
import { argon2id, CURRENT_COST, hashPassword, isBelowCost, verifyPassword } from './password-hash.js';
import { newToken, tokenHash, tokenKind } from './tokens.js';

describe('argon2id', () => {
  // phc-winner-argon2, src/test.c: password "password", salt "somesalt", version 0x13.
  it.each([
    [65_536, 2, 1, '09316115d5cf24ed5a15a31a3ba326e5cf32edc24702987c02b6566f61913cf7'],
    [256, 2, 1, '9dfeb910e80bad0311fee20f9c0e2b12c17987b4cac90c2ef54d5b3021c68bfe'],
  ])('gives the published tag for m=%i t=%i p=%i', async (memoryKib, passes, lanes, tag) => {
    const made = await argon2id('password', Buffer.from('somesalt'), { memoryKib, passes, lanes }, 32);
    expect(made.toString('hex')).toBe(tag);
  });

  it('gives the tag of RFC 9106 section 5.3, with secret and associated data', async () => {
    const made = await argon2id(Buffer.alloc(32, 1), Buffer.alloc(16, 2), { memoryKib: 32, passes: 3, lanes: 4 }, 32, {
      secret: Buffer.alloc(8, 3),
      associatedData: Buffer.alloc(12, 4),
    });
    expect(made.toString('hex')).toBe('0d640df58d78766c08c037a34a8b53c9d01ef0452d75b65eb52520e96b01e659');
  });
});

describe('a stored password', () => {
  it('is a PHC string with at least one of the settings that OWASP names', async () => {
    const stored = await hashPassword('quiet lamp harbour');
    expect(stored).toMatch(/^\$argon2id\$v=19\$m=19456,t=2,p=1\$[A-Za-z0-9+/]{22}\$[A-Za-z0-9+/]{43}$/);
    const owasp = [
      [47_104, 1],
      [19_456, 2],
      [12_288, 3],
      [9216, 4],
      [7168, 5],
    ];
    expect(owasp).toContainEqual([CURRENT_COST.memoryKib, CURRENT_COST.passes]);
  });

  it('opens for its password only, without cutting at 72 bytes', async () => {
    const long = 'x7'.repeat(36) + 'y';
    const stored = await hashPassword(long);
    expect(await verifyPassword(long, stored)).toBe(true);
    expect(await verifyPassword(long.slice(0, 72), stored)).toBe(false);
    expect(await verifyPassword('', stored)).toBe(false);
  });

  it('of the reference implementation opens as well', async () => {
    const tag = Buffer.from('09316115d5cf24ed5a15a31a3ba326e5cf32edc24702987c02b6566f61913cf7', 'hex');
    const phc = `$argon2id$v=19$m=65536,t=2,p=1$c29tZXNhbHQ$${tag.toString('base64').replaceAll('=', '')}`;
    expect(await verifyPassword('password', phc)).toBe(true);
    expect(await verifyPassword('Password', phc)).toBe(false);
  });

  it.each([
    '',
    'plain text',
    '$argon2i$v=19$m=256,t=2,p=1$c29tZXNhbHQ$iekCn0Y3spW+sCcFanM2xBT63UP2sghkUoHLIUpWRS8',
    '$2b$10$x',
  ])('that is something else opens for nobody: %s', async (phc) => {
    expect(await verifyPassword('password', phc)).toBe(false);
  });

  it('is made again when it cost less than today', async () => {
    expect(isBelowCost(await hashPassword('p', { memoryKib: 8192, passes: 2, lanes: 1 }))).toBe(true);
    expect(isBelowCost(await hashPassword('p'))).toBe(false);
    expect(isBelowCost('no hash')).toBe(true);
  });
});

describe('a secret', () => {
  it('has 256 random bits behind its prefix, and only its SHA-256 is kept', () => {
    const token = newToken('key');
    expect(token.text).toMatch(/^ank_[A-Za-z0-9_-]{43}$/);
    expect(tokenHash(token.text)).toEqual(token.hash);
    expect(newToken('key').text).not.toBe(token.text);
  });

  it('tells its kind by its form', () => {
    expect(tokenKind(newToken('session').text)).toBe('session');
    expect(tokenKind(newToken('link').text)).toBe('link');
    expect(tokenKind(`${newToken('link').text}x`)).toBeUndefined();
    expect(tokenKind("ans_' or 1=1")).toBeUndefined();
  });
});
