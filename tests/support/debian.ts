import { execFile } from 'node:child_process';
import { existsSync } from 'node:fs';
import { promisify } from 'node:util';

const run = promisify(execFile);

/**
 * Whether programs of Debian are there, installed first where that is possible: under root, with apt-get.
 * @param programs paths that must exist
 * @param packages what brings them
 * @returns undefined when they are there, else why not, for the name of a skipped test
 */
export async function missingOnDebian(
  programs: readonly string[],
  packages: readonly string[],
): Promise<string | undefined> {
  const there = () => programs.every((program) => existsSync(program));
  if (there()) return undefined;
  if (process.getuid?.() !== 0 || !existsSync('/usr/bin/apt-get')) {
    return `needs ${packages.join(', ')} (apt-get install, as root)`;
  }
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
  const patience = ['-o', 'DPkg::Lock::Timeout=300', '-qq'];
  try {
    await run('apt-get', [...patience, 'update'], { env });
    await run('apt-get', [...patience, 'install', '-y', '--no-install-recommends', ...packages], { env });
  } catch (error) {
    return `apt-get could not install ${packages.join(', ')}: ${error instanceof Error ? error.message.slice(0, 300) : String(error)}`;
  }
  return there() ? undefined : `${packages.join(', ')} did not bring ${programs.join(', ')}`;
}
