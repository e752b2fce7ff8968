import { describe, expect, it } from 'vitest';
import { accountForRoot, accountsIn, mayPass } from './account.js';

const PASSWD = [
  'root:x:0:0:root:/root:/bin/bash',
  'nobody:x:65534:65534:nobody:/nonexistent:/usr/sbin/nologin',
  'postgres:x:101:104:PostgreSQL administrator,,,:/var/lib/postgresql:/bin/bash',
  '# not an account',
  'rosa:x:1000:1000::/home/rosa:/bin/sh',
  '',
].join('\n');

describe('the account of a server that root starts', () => {
  const accounts = accountsIn(PASSWD);

  it('is postgres, else nobody, else none', () => {
    expect(accountForRoot(accounts, undefined)).toEqual({ name: 'postgres', uid: 101, gid: 104 });
    const without = accounts.filter(({ name }) => name !== 'postgres');
    expect(accountForRoot(without, undefined)?.name).toBe('nobody');
    expect(accountForRoot(without.slice(0, 1), undefined)).toBeUndefined();
  });

  it('is the owner of a data folder that is there already', () => {
    expect(accountForRoot(accounts, 1000)?.name).toBe('rosa');
    expect(accountForRoot(accounts, 4242)).toBeUndefined();
  });

  it.each([
    ['owner', { mode: 0o700, uid: 101, gid: 0 }, true],
    ['owner without the bit, though others have it', { mode: 0o677, uid: 101, gid: 0 }, false],
    ['group', { mode: 0o710, uid: 0, gid: 104 }, true],
    ['group without the bit, though others have it', { mode: 0o701, uid: 0, gid: 104 }, false],
    ['others', { mode: 0o711, uid: 0, gid: 0 }, true],
    ["others, a home that is root's alone", { mode: 0o700, uid: 0, gid: 0 }, false],
  ])('passes a folder by the bit of its class: %s', (_class, rights, may) => {
    expect(mayPass(rights, { name: 'postgres', uid: 101, gid: 104 })).toBe(may);
  });
});
