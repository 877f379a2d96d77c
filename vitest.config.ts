import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'

/** Where the counts of a run are also written as JSON; set by `.ci/run`. */
const report = process.env.EVERYREV_TEST_REPORT

/** A source of the library. */
function source(path: string): string {
  return fileURLToPath(new URL(`packages/core/src/${path}`, import.meta.url))
}

export default defineConfig({
  resolve: {
    // Tests hear the sources, not the last build; tests of the built program start packages/cli/bin/everyrev.js.
    alias: [
      { find: /^@everyrev\/core$/, replacement: source('index.ts') },
      { find: /^@everyrev\/core\/errors$/, replacement: source('errors.ts') },
      { find: /^@everyrev\/core\/hear$/, replacement: source('hear.ts') },
      { find: /^@everyrev\/core\/tuning$/, replacement: source('tuning/index.ts') },
      { find: /^@everyrev\/core\/workshop$/, replacement: source('workshop/index.ts') },
    ],
  },
  test: {
    include: ['packages/**/*.test.ts', 'scripts/**/*.test.ts'],
    exclude: ['**/node_modules/**', '**/dist/**'],
    // Three workers, as many tests wait for a browser or a recording, and long limits: the suite has to pass on a small two-core
    // machine that is busy.
    maxWorkers: 3,
    // Files share what is loaded and compiled; what a test puts in another's place is put back after it.
    isolate: false,
    restoreMocks: true,
    unstubEnvs: true,
    testTimeout: 60_000,
    hookTimeout: 120_000,
    reporters: report ? ['default', ['json', { outputFile: report }]] : ['default'],
    coverage: {
      provider: 'v8',
      include: ['packages/*/src/**/*.ts'],
      exclude: ['**/*.test.ts', '**/types.ts', '**/kernels/assembly/**'],
      reporter: ['text-summary', 'html'],
    },
  },
})
