import { describe, expect, it } from 'vitest';
import { chooseBinaries } from './choose-binaries.js';
import type { BinarySet, ChoiceOfBinaries } from './choose-binaries.js';

const packaged: BinarySet = { source: 'embedded', version: { major: 18, minor: 4 }, folder: '/package/native' };
const installed = (major: number, minor = 0): BinarySet => ({
  source: 'system',
  version: { major, minor },
  folder: `/usr/lib/postgresql/${major}/bin`,
});
const choose = (choice: Partial<ChoiceOfBinaries>): string => {
  const chosen = chooseBinaries({ sets: [], dataDir: '/state/data', platform: 'linux-x64', unusable: [], ...choice });
  return chosen.ok ? `${chosen.set.source} ${chosen.set.version.major}.${chosen.set.version.minor}` : chosen.message;
};

describe('the choice of server programs', () => {
  it('takes the packaged one before any installed one, even a newer', () => {
    expect(choose({ sets: [installed(19), packaged, installed(15)] })).toBe('embedded 18.4');
  });

  it('takes the newest installed one when there is no packaged one', () => {
    expect(choose({ sets: [installed(15, 18), installed(17), installed(15, 9)] })).toBe('system 17.0');
  });

  it('takes the one that fits an existing data folder, packaged or not', () => {
    expect(choose({ sets: [packaged, installed(15, 18)], dataMajor: 15 })).toBe('system 15.18');
    expect(choose({ sets: [installed(18, 1), packaged], dataMajor: 18 })).toBe('embedded 18.4');
  });

  it('never takes one below the support floor', () => {
    expect(choose({ sets: [installed(14)] })).toContain('Install PostgreSQL 15 or newer');
    expect(choose({ sets: [installed(14)], dataMajor: 14 })).toContain('made by PostgreSQL 14');
  });

  it('keeps to one source when asked to', () => {
    expect(choose({ sets: [packaged, installed(15, 18)], only: 'system' })).toBe('system 15.18');
    expect(choose({ sets: [packaged], only: 'system' })).toContain('set DATABASE_URL');
  });

  it('says which version the data needs and what there is instead', () => {
    expect(choose({ sets: [packaged, installed(16, 2)], dataMajor: 17 })).toBe(
      'The data folder /state/data was made by PostgreSQL 17, but this machine has only PostgreSQL 18.4 (packaged) and 16.2 (installed). ' +
        'Install PostgreSQL 17 to go on with that data, move the folder away to start empty, or set DATABASE_URL to another server.',
    );
  });

  it('says why nothing can be started and names the way out', () => {
    expect(choose({ unusable: ['the packaged one does not run: wrong C library'] })).toBe(
      'No PostgreSQL to start was found on this linux-x64 machine (the packaged one does not run: wrong C library). ' +
        'Install PostgreSQL 15 or newer, or set DATABASE_URL to a server of that version.',
    );
  });
});
