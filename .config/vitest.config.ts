import { defineConfig } from 'vitest/config';

const SLOW = {
  extends: true as const,
  test: {
    name: 'slow',
    include: ['tests/slow/**/*.spec.ts'],
    globalSetup: ['tests/support/cluster.ts'],
    testTimeout: 600_000,
    hookTimeout: 600_000,
  },
};

export default defineConfig({
  root: new URL('..', import.meta.url).pathname,
  oxc: {
    decorator: { legacy: true, emitDecoratorMetadata: true },
    jsx: { runtime: 'automatic', importSource: 'preact' },
  },
  test: {
    pool: 'forks',
    maxWorkers: 2,
    isolate: false,
    projects: [
      {
        extends: true,
        test: {
          name: 'unit',
          include: ['src/**/*.spec.ts', 'src/**/*.spec.tsx', 'tests/architecture.spec.ts', 'tests/prepare.spec.ts'],
          // Some start programs of their own; how fast they are is for benchmarks to say.
          testTimeout: 60_000,
          hookTimeout: 60_000,
        },
      },
      {
        extends: true,
        test: {
          name: 'db',
          include: ['tests/**/*.spec.ts', 'sample-claims/**/*.spec.ts'],
          exclude: ['tests/architecture.spec.ts', 'tests/prepare.spec.ts', 'tests/slow/**'],
          globalSetup: ['tests/support/cluster.ts'],
          testTimeout: 60_000,
          hookTimeout: 120_000,
        },
      },
      // Minutes long, or in need of programs of the machine: only by npm run test:slow.
      ...(process.env['TEST_SLOW'] ? [SLOW] : []),
    ],
  },
});
