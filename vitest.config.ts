import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'

/** Where the counts of a run are also written as JSON; set by `.ci/run`. */
const report = process.env.EVERYREV_TEST_REPORT

const core = new URL('packages/core/', import.meta.url)

/** The entries of the library by what its package says, each with its source in place of what is built from it. */
function sources() {
  const { exports } = JSON.parse(readFileSync(new URL('package.json', core), 'utf8'))
  const entries = Object.entries<string | { default: string }>(exports)
  return entries.flatMap(([name, file]) => {
    if (typeof file === 'string') return []
    const source = file.default.replace('./dist/', 'src/').replace(/\.js$/, '.ts')
    const find = new RegExp(`^@everyrev/core${name.slice(1)}$`)
    return [{ find, replacement: fileURLToPath(new URL(source, core)) }]
  })
}

export default defineConfig({
  resolve: {
    // Tests hear the sources, not the last build; tests of the built program start packages/cli/bin/everyrev.js.
    alias: sources(),
  },
  test: {
    include: ['packages/**/*.test.ts', 'scripts/**/*.test.ts'],
    exclude: ['**/node_modules/**', '**/dist/**'],
    // Three workers, as many tests wait for a browser or a recording.
    maxWorkers: 3,
    // Files share what is loaded and compiled; what a test puts in another's place is put back after it.
    isolate: false,
    restoreMocks: true,
    unstubEnvs: true,
    // Only what never comes to an end fails by time: the suite has to pass on a small machine that is busy with other things.
    testTimeout: 300_000,
    hookTimeout: 300_000,
    expect: { poll: { timeout: 120_000 } },
    reporters: report ? ['default', ['json', { outputFile: report }]] : ['default'],
    coverage: {
      provider: 'v8',
      include: ['packages/*/src/**/*.ts'],
      exclude: ['**/*.test.ts', '**/types.ts', '**/kernels/assembly/**'],
      reporter: ['text-summary', 'html'],
    },
  },
})
