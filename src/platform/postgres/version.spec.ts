import { describe, expect, it } from 'vitest';
import {
  compareVersions,
  isSupported,
  majorOfDataFolder,
  parseVersionLine,
  versionFromNumber,
  versionText,
} from './version.js';

describe('PostgreSQL versions', () => {
  it.each([
    ['postgres (PostgreSQL) 18.4', { major: 18, minor: 4 }],
    ['postgres (PostgreSQL) 15.18 (Debian 15.18-0+deb12u1)', { major: 15, minor: 18 }],
    ['postgres (PostgreSQL) 19beta2', { major: 19, minor: 0 }],
    ['postgres (PostgreSQL) 9.6.24', { major: 9, minor: 6 }],
    ['some other program 3.1', undefined],
    ['', undefined],
  ])('reads %j', (line, version) => {
    expect(parseVersionLine(line)).toEqual(version);
  });

  // PostgreSQL manual, "Preset Options": server_version_num of 15.18 is 150018.
  it('reads the number a server reports', () => {
    expect(versionFromNumber(150_018)).toEqual({ major: 15, minor: 18 });
    expect(versionText(versionFromNumber(180_004))).toBe('18.4');
  });

  it('orders by major, then by minor as a number', () => {
    const sorted = [
      { major: 15, minor: 18 },
      { major: 18, minor: 4 },
      { major: 15, minor: 9 },
    ].toSorted(compareVersions);
    expect(sorted.map(versionText)).toEqual(['15.9', '15.18', '18.4']);
  });

  it('supports 15 and everything after it', () => {
    expect([14, 15, 18, 19].map((major) => isSupported({ major, minor: 0 }))).toEqual([false, true, true, true]);
  });

  it('reads the version of a data folder, and nothing else for one', () => {
    expect(majorOfDataFolder('18\n')).toBe(18);
    expect(majorOfDataFolder('9.6\n')).toBeUndefined();
    expect(majorOfDataFolder('')).toBeUndefined();
  });
});
