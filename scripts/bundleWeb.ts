// Writes packages/cli/dist/bundles/: for every `NAME.entry.ts` (or .tsx) and `NAME.entry.css` in a folder `browser` of packages/cli/src
// the bundle NAME.js or NAME.css, which a page takes in whole. Part of `npm run build`; `tsc -b` checks the types before.
import { readdirSync, rmSync } from 'node:fs'
import { basename, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'esbuild'

const CLI = fileURLToPath(new URL('../packages/cli', import.meta.url))
const ENTRY = /browser[\\/][^\\/]+\.entry\.(tsx?|css)$/

const entries = readdirSync(join(CLI, 'src'), { recursive: true, encoding: 'utf8' }).filter((name) =>
  ENTRY.test(name),
)
const outdir = join(CLI, 'dist/bundles')
rmSync(outdir, { recursive: true, force: true })
await build({
  entryPoints: entries.map((name) => ({
    in: join(CLI, 'src', name),
    out: basename(name).replace(/\.entry\.\w+$/, ''),
  })),
  outdir,
  bundle: true,
  minify: true,
  format: 'iife',
  jsx: 'automatic',
  jsxImportSource: 'preact',
  // Browsers of the last few years; what phones still in use have.
  target: ['chrome109', 'firefox115', 'safari16'],
  legalComments: 'inline',
  logLevel: 'warning',
})
