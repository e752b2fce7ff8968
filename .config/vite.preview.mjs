// The preview of a checklist: the crew's screens, whose store, line and address bar are replaced by ones that keep and send nothing.
// It is built apart, so that the crew's own files stay as small as they are.
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

const root = fileURLToPath(new URL('..', import.meta.url));
const app = path.join(root, 'src/web/preview-app');
const crew = path.join(root, 'src/web/crew-app');

/** What the crew's app imports, and what it gets here. A stand-in itself gets the real one, for all that it does not replace. */
const IN_PLACE = new Map(
  Object.entries({
    'app-state': 'own-place',
    engine: 'still-engine',
    'keep/database': 'memory',
    'photo/read-code': 'no-reader',
    'send/ask': 'no-line',
  }).map(([real, standIn]) => [path.join(crew, real), path.join(app, 'in-place', `${standIn}.ts`)]),
);
const standIns = new Set(IN_PLACE.values());

const inPlace = {
  name: 'in-place',
  enforce: 'pre',
  resolveId(id, importer) {
    if (importer === undefined || !id.startsWith('.') || standIns.has(importer)) return undefined;
    return IN_PLACE.get(path.resolve(path.dirname(importer), id).replace(/\.js$/, ''));
  },
};

/** The contracts hash on the server only, so that this must never be reached. */
const withoutServer = {
  name: 'without-server',
  enforce: 'pre',
  resolveId: (id) => (id === 'node:crypto' ? '\0no-node-crypto' : undefined),
  load: (id) =>
    id === '\0no-node-crypto' ? 'export function createHash() { throw new Error("not in a browser"); }' : undefined,
};

export default defineConfig({
  root: app,
  base: '/checklist-preview/files/',
  logLevel: 'warn',
  publicDir: false,
  plugins: [inPlace, withoutServer],
  // Tabs of the real app are told nothing.
  define: { BroadcastChannel: 'undefined' },
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  build: {
    outDir: path.join(root, 'dist/web/preview'),
    emptyOutDir: true,
    assetsDir: '',
    assetsInlineLimit: 0,
    target: 'es2022',
    modulePreload: { polyfill: false },
    rolldownOptions: {
      input: path.join(app, 'index.html'),
      // Our own modules only define things; what is not used of a contract is left out.
      treeshake: { moduleSideEffects: (id) => !/src\/(kernel|inspections|diagnosis)\//.test(id) },
    },
  },
});
