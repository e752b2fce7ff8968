import { defineConfig } from 'vitest/config';
export default defineConfig({
  root: new URL('..', import.meta.url).pathname,
  oxc: {
    decorator: { legacy: true, emitDecoratorMetadata: true },
    jsx: { runtime: 'automatic', importSource: 'preact' },
  },
  test: { include: ['src/**/*.spec.ts', 'src/**/*.spec.tsx', 'tests/**/*.spec.ts'], pool: 'forks' },
});
