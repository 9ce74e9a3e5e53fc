import { defineConfig } from 'vitest/config';

/** One project for each kind of test; the folder tells the cost. */
const kind = (name: string, seconds: number, extra: object = {}) => ({
  test: {
    name,
    include: [`tests/${name}/**/*.test.ts`],
    environment: 'node',
    setupFiles: ['./tests/properties.ts'],
    testTimeout: seconds * 1000,
    hookTimeout: 60_000,
    ...extra,
  },
});

export default defineConfig({
  test: {
    reporters: ['default', './tests/summary.ts'],
    maxWorkers: 2,
    projects: [
      kind('unit', 20),
      kind('outside', 60),
      kind('wire', 30),
      kind('faults', 60),
      kind('window', 120, { globalSetup: './tests/window/setup.ts', fileParallelism: false }),
    ],
  },
});
