// Makes a checkout ready to run: packages, then the build. Runs before start, test and the command line, also on a machine that has
// only an older Node, so it is plain JavaScript without packages. Options: --tests looks for a browser as well; --quiet says less.
import { spawn, spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { oneAtATime } from './one-at-a-time.mjs';

const root = fileURLToPath(new URL('..', import.meta.url));
const quiet = process.argv.includes('--quiet');
const at = (...parts) => path.join(root, ...parts);
const say = (line) => quiet || process.stderr.write(`${line}\n`);

const BROWSERS = [
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
];

/** What a build of the pages leaves behind when it was whole. */
const PAGES = ['crew/worker.js', 'preview/index.html', 'desk/.vite/manifest.json'];

/** A failure with its one sentence for the person at the terminal. */
class Unprepared extends Error {}

try {
  if (Number(process.versions.node.split('.')[0]) < 20)
    throw new Unprepared(
      `This is Node ${process.versions.node}; install Node 20 or newer, with its npm, and run the command again.`,
    );
  const onWait = (pid) => say(`Process ${pid} is preparing this checkout; waiting for it.`);
  await oneAtATime(at('.state', 'prepare.lock'), onWait, async () => {
    await install();
    checkNode();
    await build();
    await buildPages();
    if (process.argv.includes('--tests')) await findBrowser();
  });
} catch (error) {
  process.stderr.write(`${error instanceof Unprepared ? error.message : sentenceFor(error)}\n`);
  process.exitCode = 1;
}

async function install() {
  if (packagesFit()) return;
  say('Installing packages with npm ci (a minute or two the first time).');
  const { ok, output } = await run(...npm('ci', '--include=dev', '--include=optional', '--no-audit', '--no-fund'));
  if (ok) return;
  throw new Unprepared(`${installationFailure(output)}\n${lastLines(output)}`);
}

/**
 * npm keeps a list of what it installed. It fits when every package of package-lock.json is in it with the same version and content;
 * only packages made for other platforms may be missing.
 */
function packagesFit() {
  const installed = readJson(at('node_modules', '.package-lock.json'))?.packages;
  const wanted = readJson(at('package-lock.json'))?.packages;
  if (wanted === undefined) throw new Unprepared('package-lock.json is missing or broken; check the files out again.');
  if (installed === undefined) return false;
  return Object.entries(wanted).every(([name, { version, integrity, optional, devOptional, peer }]) => {
    if (name === '') return true;
    const there = installed[name];
    if (there === undefined) return Boolean(optional || devOptional || peer);
    return there.version === version && there.integrity === integrity;
  });
}

function installationFailure(output) {
  const causes = [
    [
      /ENOTFOUND|EAI_AGAIN|ECONNREFUSED|ECONNRESET|ETIMEDOUT|ENETUNREACH|network/i,
      'npm could not reach its registry. Connect this machine to the network and run the command again.',
    ],
    [/ENOSPC/, 'The disk is full. The packages need about 700 MB; make room and run the command again.'],
    [/EACCES|EPERM|EROFS/, `npm may not write to ${at('node_modules')}. Run the command as the owner of this folder.`],
    [
      /EUSAGE|can only install packages when/,
      'package.json and package-lock.json do not agree. Check both files out again, or run npm install.',
    ],
    [
      /EINTEGRITY/,
      'A downloaded package is not the one that package-lock.json names. Run npm cache clean --force and try again.',
    ],
  ];
  return causes.find(([pattern]) => pattern.test(output))?.[1] ?? 'npm ci failed. Its last words:';
}

/** The service needs Node 26; the packages bring one along, which npm scripts find before the machine's own. */
function checkNode() {
  const packaged = at('node_modules', '.bin', process.platform === 'win32' ? 'node.cmd' : 'node');
  const candidates = [packaged, process.execPath].filter((program) => existsSync(program));
  for (const program of candidates) {
    const { stdout } = spawnSync(program, ['--version'], { encoding: 'utf8', shell: process.platform === 'win32' });
    if (Number(/^v(\d+)/.exec(stdout ?? '')?.[1]) >= 26) return;
  }
  throw new Unprepared(
    `As Noted needs Node 26. The one that comes with the packages does not run on this ${process.platform}-${process.arch} machine, ` +
      `and the machine's own is ${process.versions.node}. Install Node 26 and run the command again.`,
  );
}

async function build() {
  const stamp = at('dist', 'built.json');
  const files = sourceFiles();
  const digest = createHash('sha256');
  for (const file of files)
    digest
      .update(`${file}\0`)
      .update(readFileSync(at(file)))
      .update('\0');
  const now = digest.digest('hex');
  const before = readJson(stamp);
  if (before?.digest === now && existsSync(at('dist', 'src'))) return;
  say('Building the service.');
  // The compiler never removes what it wrote for a file that is gone.
  const gone = (before?.files ?? []).filter((file) => !files.includes(file));
  if (gone.length > 0) rmSync(at('dist'), { recursive: true, force: true });
  const { ok, output } = await run(...npm('run', '--silent', 'build'));
  if (!ok) throw new Unprepared(`The sources do not compile:\n${lastLines(output, 40)}`);
  mkdirSync(at('dist'), { recursive: true });
  writeFileSync(stamp, JSON.stringify({ digest: now, files }));
}

/** What runs in browsers is built by itself, and only when something that goes into it has changed. */
async function buildPages() {
  const stamp = at('dist', 'web', 'built.json');
  const digest = createHash('sha256');
  for (const file of pageSources())
    digest
      .update(`${file}\0`)
      .update(readFileSync(at(file)))
      .update('\0');
  const now = digest.digest('hex');
  if (readJson(stamp)?.digest === now && PAGES.every((file) => existsSync(at('dist', 'web', file)))) return;
  say('Building the pages.');
  const { ok, output } = await run(...npm('run', '--silent', 'build:pages'));
  if (!ok) throw new Unprepared(`The pages do not build:\n${lastLines(output, 40)}`);
  mkdirSync(at('dist', 'web'), { recursive: true });
  writeFileSync(stamp, JSON.stringify({ digest: now }));
}

/** Everything that a page may import: its own sources, and the pure parts of the modules whose contracts it uses. */
function pageSources() {
  return ['src', '.config']
    .flatMap((folder) =>
      readdirSync(at(folder), { recursive: true, encoding: 'utf8' }).map((file) => `${folder}/${file}`),
    )
    .filter((file) => /\.(tsx?|css|html|svg)$|\/vite\.\w+\.mjs$/.test(file) && !/\.spec\.tsx?$/.test(file))
    .concat('package-lock.json')
    .sort();
}

function sourceFiles() {
  const settings = ['tsconfig.json', '.config/tsconfig.build.json', 'package-lock.json'];
  const sources = ['src', 'migrations'].flatMap((folder) =>
    readdirSync(at(folder), { recursive: true, encoding: 'utf8' })
      .filter((file) => /\.tsx?$/.test(file) && !/\.spec\.tsx?$/.test(file) && !/^web\/\w+-app\//.test(file))
      .map((file) => `${folder}/${file}`),
  );
  return [...settings, ...sources.sort()];
}

/** The browser tests need Chromium. Under root on Debian it is installed; elsewhere that is for the person to decide. */
async function findBrowser() {
  if (BROWSERS.some((program) => existsSync(program))) return;
  const mayInstall = process.getuid?.() === 0 && existsSync('/usr/bin/apt-get');
  if (mayInstall) {
    say('Installing Chromium for the browser tests (apt-get, about a minute).');
    const patience = ['-o', 'DPkg::Lock::Timeout=300', '-qq'];
    const listed = await run('apt-get', [...patience, 'update']);
    const installed = await run('apt-get', [...patience, 'install', '-y', '--no-install-recommends', 'chromium']);
    if (installed.ok) return;
    process.stderr.write(
      `apt-get could not install Chromium:\n${lastLines(`${listed.output}\n${installed.output}`)}\n`,
    );
  }
  process.stderr.write(
    'No Chromium was found, so the browser tests are skipped. Install it to run them: Debian "apt-get install chromium".\n',
  );
}

/** npm by the file and the Node that run us, so that an old one in PATH does not get in between; else the one in PATH. */
function npm(...args) {
  const { npm_execpath: script, npm_node_execpath: node } = process.env;
  if (script?.endsWith('.js')) return [node && existsSync(node) ? node : process.execPath, [script, ...args]];
  return ['npm', args];
}

function run(program, args) {
  return new Promise((settle) => {
    const child = spawn(program, args, {
      cwd: root,
      stdio: ['ignore', 'pipe', 'pipe'],
      env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
      shell: program === 'npm' && process.platform === 'win32',
    });
    let output = '';
    child.stdout.on('data', (chunk) => (output += chunk));
    child.stderr.on('data', (chunk) => (output += chunk));
    child.once('error', (error) => settle({ ok: false, output: `${output}\n${error.message}` }));
    child.once('close', (code) => settle({ ok: code === 0, output }));
  });
}

function sentenceFor(error) {
  if (error?.code === 'ENOSPC') return 'The disk is full. Make room and run the command again.';
  if (['EACCES', 'EPERM', 'EROFS'].includes(error?.code))
    return `This account may not write to ${root} (${error.path ?? error.code}). Run the command as its owner.`;
  return `Preparing failed: ${error?.stack ?? error}`;
}

function lastLines(text, count = 8) {
  return text
    .split('\n')
    .filter((line) => line.trim() !== '' && !/EBADENGINE/.test(line))
    .slice(-count)
    .join('\n');
}

function readJson(file) {
  try {
    return JSON.parse(readFileSync(file, 'utf8'));
  } catch {
    return undefined;
  }
}
