// What the repository as a whole has to keep: exact and sorted packages, a lock file that works with any registry, nothing at the top
// level that does not belong there, nothing that points to one machine.
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));

const TOP_LEVEL = new Set([
  '.ci',
  '.config',
  '.gitignore',
  'DEVELOPERS.md',
  'README.md',
  'docs',
  'migrations',
  'package-lock.json',
  'package.json',
  'sample-claims',
  'src',
  'tests',
  'tsconfig.json',
]);

/** Written in two halves, or this file would accuse itself. */
const UNWANTED = [
  ['an absolute path of one machine', new RegExp(`(^|[\\s"'\`(=:])/wo${'rk'}/`, 'm')],
  ['a home folder of one machine', new RegExp(`(^|[\\s"'\`(=:])/(ho${'me'}|Us${'ers'})/[a-z]+/`, 'm')],
  ['words about how the text came about', new RegExp(`se${'ed'} docu${'ment'}`, 'i')],
];

/** @returns {string[]} what is wrong, one sentence each; empty when all is well */
export function manifestFaults() {
  const files = execFileSync('git', ['ls-files', '-z', '--cached'], { cwd: root, encoding: 'utf8', maxBuffer: 1e8 })
    .split('\0')
    .filter((file) => file !== '');
  return [...packageFaults(), ...lockFaults(), ...topLevelFaults(files), ...textFaults(files)];
}

function packageFaults() {
  const manifest = JSON.parse(readFileSync(path.join(root, 'package.json'), 'utf8'));
  return ['dependencies', 'devDependencies', 'optionalDependencies'].flatMap((block) => {
    const names = Object.keys(manifest[block] ?? {});
    const loose = names.filter((name) => !/^\d+\.\d+\.\d+(-[\w.]+)?$/.test(manifest[block][name]));
    const faults = loose.map(
      (name) => `package.json: ${name} in ${block} has no exact version (${manifest[block][name]}).`,
    );
    if (names.join() !== names.toSorted().join()) faults.push(`package.json: ${block} is not in alphabetical order.`);
    return faults;
  });
}

function lockFaults() {
  const { packages } = JSON.parse(readFileSync(path.join(root, 'package-lock.json'), 'utf8'));
  return Object.entries(packages).flatMap(([name, entry]) => {
    if (name === '' || entry.link) return [];
    const faults = [];
    if (entry.resolved !== undefined)
      faults.push(
        `package-lock.json: ${name} records a download address; run npm with omit-lockfile-registry-resolved.`,
      );
    if (entry.integrity === undefined && !entry.inBundle) faults.push(`package-lock.json: ${name} has no integrity.`);
    return faults;
  });
}

function topLevelFaults(files) {
  const entries = new Set(files.map((file) => file.split('/')[0]));
  return [...entries]
    .filter((entry) => !TOP_LEVEL.has(entry))
    .map((entry) => `${entry} does not belong at the top level.`);
}

function textFaults(files) {
  return files.flatMap((file) => {
    let bytes;
    try {
      bytes = readFileSync(path.join(root, file));
    } catch {
      return []; // removed, but not yet from the index
    }
    if (bytes.subarray(0, 8000).includes(0)) return [];
    const text = bytes.toString('utf8');
    return UNWANTED.filter(([, pattern]) => pattern.test(text)).map(([what]) => `${file} holds ${what}.`);
  });
}
