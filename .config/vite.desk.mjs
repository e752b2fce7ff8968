// The desk for browsers: React, built once into dist/web/desk. The service serves the files under the names that hold their hashes.
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

const at = (folder) => fileURLToPath(new URL(`../${folder}`, import.meta.url));

/** The contracts hash on the server only, so that this must never be reached. */
const withoutServer = {
  name: 'without-server',
  enforce: 'pre',
  resolveId: (id) => (id === 'node:crypto' ? '\0no-node-crypto' : undefined),
  load: (id) =>
    id === '\0no-node-crypto' ? 'export function createHash() { throw new Error("not in a browser"); }' : undefined,
};

export default defineConfig({
  plugins: [withoutServer],
  root: at('src/web/desk-app'),
  base: '/assets/desk/',
  logLevel: 'warn',
  publicDir: false,
  oxc: { jsx: { runtime: 'automatic', importSource: 'react' } },
  // What a worker runs comes as modules, as the page itself does.
  worker: { format: 'es', plugins: () => [withoutServer] },
  build: {
    outDir: at('dist/web/desk'),
    emptyOutDir: true,
    assetsDir: '',
    manifest: true,
    target: 'es2022',
    rollupOptions: {
      input: at('src/web/desk-app/main.tsx'),
      // "use client" is for servers that render React; there is none here.
      onwarn: (warning, warn) => warning.code === 'MODULE_LEVEL_DIRECTIVE' || warn(warning),
    },
  },
});
