// The crew's pages: one entry, compiled against Preact by Vite itself, and a worker that knows every file by name and content.
import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { build, defineConfig } from 'vite';

const root = fileURLToPath(new URL('..', import.meta.url));
const app = path.join(root, 'src/web/crew-app');
const out = process.env.CREW_OUT ?? path.join(root, 'dist/web/crew');
const base = '/crew/files/';

/** The contracts hash on the server only; a phone hashes by its own Web Crypto, so this must never be reached. */
const withoutServer = {
  name: 'without-server',
  enforce: 'pre',
  resolveId: (id) => (id === 'node:crypto' ? '\0no-node-crypto' : undefined),
  load: (id) =>
    id === '\0no-node-crypto' ? 'export function createHash() { throw new Error("not in a browser"); }' : undefined,
};

const common = {
  root: app,
  base,
  configFile: false,
  logLevel: 'warn',
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
};
const target = ['safari16.4', 'chrome111'];

/** Builds the worker once the pages are there, because it lists them. */
const withWorker = {
  name: 'with-worker',
  async closeBundle() {
    if (!existsSync(path.join(out, 'index.html'))) return;
    const files = readdirSync(out).filter((file) => /\.(js|css)$/.test(file) && !/^(worker|reader)/.test(file));
    const digest = createHash('sha256');
    for (const file of [...files, 'index.html'].sort())
      digest.update(`${file}\0`).update(readFileSync(path.join(out, file)));
    await build({
      ...common,
      plugins: [withoutServer],
      define: {
        SHELL_FILES: JSON.stringify(files.map((file) => base + file)),
        SHELL_STAMP: JSON.stringify(digest.digest('hex').slice(0, 12)),
      },
      build: {
        outDir: out,
        emptyOutDir: false,
        target,
        rolldownOptions: {
          input: path.join(app, 'worker.ts'),
          output: { format: 'iife', entryFileNames: 'worker.js', codeSplitting: false },
        },
      },
    });
  },
};

export default defineConfig({
  ...common,
  plugins: [withoutServer, withWorker],
  build: {
    outDir: out,
    emptyOutDir: true,
    assetsDir: '',
    assetsInlineLimit: 0,
    target,
    modulePreload: { polyfill: false },
    rolldownOptions: {
      input: path.join(app, 'index.html'),
      // Our own modules only define things; what is not used of a contract is left out.
      treeshake: { moduleSideEffects: (id) => !/src\/(kernel|inspections|diagnosis)\//.test(id) },
    },
  },
});
