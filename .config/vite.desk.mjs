// The desk for browsers: React, built once into dist/web/desk. The service serves the files under the names that hold their hashes.
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

const at = (folder) => fileURLToPath(new URL(`../${folder}`, import.meta.url));

export default defineConfig({
  root: at('src/web/desk-app'),
  base: '/assets/desk/',
  logLevel: 'warn',
  publicDir: false,
  oxc: { jsx: { runtime: 'automatic', importSource: 'react' } },
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
