import { compareVersions, isSupported, OLDEST_SUPPORTED_MAJOR, versionText } from './version.js';
import type { PostgresVersion } from './version.js';

/** Where a set of server programs comes from: the npm package, or an installation of the machine. */
export type BinarySource = 'embedded' | 'system';

/** A set of server programs that could run the private server. `folder` is the package's native/ folder, or the installation's bin folder. */
export interface BinarySet {
  readonly source: BinarySource;
  readonly version: PostgresVersion;
  readonly folder: string;
}

/** What is known before a set is chosen. */
export interface ChoiceOfBinaries {
  /** Every set found on this machine, in any order. */
  readonly sets: readonly BinarySet[];
  /** Major version of the data folder, when there is one already. */
  readonly dataMajor?: number | undefined;
  /** Ask for one source only (the suite's second run does). */
  readonly only?: BinarySource | undefined;
  /** For the message: the data folder, the platform such as "linux-x64", and why a set that is there cannot be used. */
  readonly dataDir: string;
  readonly platform: string;
  readonly unusable: readonly string[];
}

/** The chosen set, or the sentence to show. */
export type ChosenBinaries =
  { readonly ok: true; readonly set: BinarySet } | { readonly ok: false; readonly message: string };

/**
 * The order: the set that fits an existing data folder; without one the packaged PostgreSQL, so that everyone runs the same version;
 * then the newest installed one that is supported. Sets older than the support floor never count.
 */
export function chooseBinaries(choice: ChoiceOfBinaries): ChosenBinaries {
  const usable = choice.sets
    .filter((set) => isSupported(set.version) && (choice.only === undefined || set.source === choice.only))
    .toSorted(packagedThenNewest);
  const { dataMajor } = choice;
  const set = dataMajor === undefined ? usable[0] : usable.find((each) => each.version.major === dataMajor);
  if (set !== undefined) return { ok: true, set };
  return { ok: false, message: dataMajor === undefined ? nothingFound(choice) : noneFits(choice, usable, dataMajor) };
}

function packagedThenNewest(a: BinarySet, b: BinarySet): number {
  if (a.source !== b.source) return a.source === 'embedded' ? -1 : 1;
  return compareVersions(b.version, a.version);
}

function nothingFound(choice: ChoiceOfBinaries): string {
  const reasons = choice.unusable.length === 0 ? '' : ` (${choice.unusable.join('; ')})`;
  return (
    `No PostgreSQL to start was found on this ${choice.platform} machine${reasons}. ` +
    `Install PostgreSQL ${OLDEST_SUPPORTED_MAJOR} or newer, or set DATABASE_URL to a server of that version.`
  );
}

function noneFits(choice: ChoiceOfBinaries, usable: readonly BinarySet[], dataMajor: number): string {
  const here = usable.length === 0 ? 'no PostgreSQL' : `only PostgreSQL ${usable.map(labelOf).join(' and ')}`;
  return (
    `The data folder ${choice.dataDir} was made by PostgreSQL ${dataMajor}, but this machine has ${here}. ` +
    `Install PostgreSQL ${dataMajor} to go on with that data, move the folder away to start empty, ` +
    `or set DATABASE_URL to another server.`
  );
}

function labelOf(set: BinarySet): string {
  return `${versionText(set.version)} (${set.source === 'embedded' ? 'packaged' : 'installed'})`;
}
