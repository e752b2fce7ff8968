/** The oldest PostgreSQL major version the service supports; the suite runs on it and on the packaged one. */
export const OLDEST_SUPPORTED_MAJOR = 15;

/** A PostgreSQL version as people write it since version 10: major and minor. */
export interface PostgresVersion {
  readonly major: number;
  readonly minor: number;
}

/**
 * Reads what `postgres --version` prints, such as "postgres (PostgreSQL) 15.18 (Debian 15.18-0+deb12u1)".
 * Undefined when no version is in it. Pre-releases ("18beta2", "18rc1", "18devel") count as minor 0.
 */
export function parseVersionLine(line: string): PostgresVersion | undefined {
  const found = /\(PostgreSQL\)\s+(\d+)(?:\.(\d+))?/.exec(line);
  return found?.[1] === undefined ? undefined : { major: Number(found[1]), minor: Number(found[2] ?? 0) };
}

/**
 * Reads the server setting `server_version_num`, such as 150018 for 15.18.
 * Source: PostgreSQL manual, section "Preset Options"; before version 10 the number has another shape, and those are too old anyway.
 */
export function versionFromNumber(serverVersionNum: number): PostgresVersion {
  return { major: Math.floor(serverVersionNum / 10_000), minor: serverVersionNum % 10_000 };
}

/** Below zero when `a` is the older one, above zero when it is the newer one. */
export function compareVersions(a: PostgresVersion, b: PostgresVersion): number {
  return a.major - b.major || a.minor - b.minor;
}

/** True for every version from the oldest supported major on. */
export function isSupported(version: PostgresVersion): boolean {
  return version.major >= OLDEST_SUPPORTED_MAJOR;
}

/** "18.4", as the server itself writes it. */
export function versionText(version: PostgresVersion): string {
  return `${version.major}.${version.minor}`;
}

/** The major version in the text of a data folder's PG_VERSION file; undefined when it holds something else. */
export function majorOfDataFolder(text: string): number | undefined {
  const trimmed = text.trim();
  return /^\d+$/.test(trimmed) ? Number(trimmed) : undefined;
}
