// Writes packages/core/dist/bundles/: for every entry of the library that packages/core/package.json has for Node, one file and
// what it shares with others, as Node opens a few files sooner than a hundred. Other bundlers take the files of `tsc -b`, of which
// they leave out what is not used. Part of `npm run build`.
import { readFileSync, rmSync } from 'node:fs'
import { basename, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'esbuild'

const CORE = fileURLToPath(new URL('../packages/core', import.meta.url))

const { exports } = JSON.parse(readFileSync(join(CORE, 'package.json'), 'utf8')) as {
  exports: Record<string, string | { readonly node: string; readonly default: string }>
}
const entries = Object.values(exports).filter((entry) => typeof entry !== 'string')
const outdir = join(CORE, 'dist/bundles')
rmSync(outdir, { recursive: true, force: true })
await build({
  absWorkingDir: CORE,
  entryPoints: entries.map((entry) => ({ in: entry.default, out: basename(entry.node, '.js') })),
  outdir,
  bundle: true,
  splitting: true,
  format: 'esm',
  platform: 'node',
  target: 'node20',
  packages: 'external',
  // Most of the library in bytes, and there already.
  plugins: [
    {
      name: 'weights',
      setup: ({ onResolve }) =>
        onResolve({ filter: /\/weights\.js$/ }, () => ({ path: '../ear/weights.js', external: true })),
    },
  ],
  logLevel: 'warning',
})
