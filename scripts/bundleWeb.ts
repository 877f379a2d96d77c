// Writes packages/cli/dist/bundles/: for every `NAME.entry.ts` (or .tsx) and `NAME.entry.css` in a folder `browser` of
// packages/cli/src the bundle NAME.js or NAME.css, which a page takes in whole; and licences.txt, those of the libraries in
// them, for all bundles and, as NAME.licences.txt, for each. Part of `npm run build`; `tsc -b` checks the types before.
import { readdirSync, rmSync, writeFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'esbuild'
import { licencesOf } from './licences.js'

const ROOT = fileURLToPath(new URL('..', import.meta.url))
const CLI = join(ROOT, 'packages/cli')
const ENTRY = /browser[\\/][^\\/]+\.entry\.(tsx?|css)$/

const entries = readdirSync(join(CLI, 'src'), { recursive: true, encoding: 'utf8' }).filter((name) =>
  ENTRY.test(name),
)
const outdir = join(CLI, 'dist/bundles')
rmSync(outdir, { recursive: true, force: true })
const { metafile } = await build({
  absWorkingDir: ROOT,
  metafile: true,
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
// What a bundle leaves out of a library it does not use is no part of the page.
const used = Object.assign({}, ...Object.values(metafile.outputs).map(({ inputs }) => inputs))
writeFileSync(join(outdir, 'licences.txt'), licencesOf(used, ROOT))
for (const [path, { inputs }] of Object.entries(metafile.outputs)) {
  const licences = path.endsWith('.js') ? licencesOf(inputs, ROOT) : ''
  if (licences !== '') writeFileSync(join(ROOT, path.replace(/js$/, 'licences.txt')), licences)
}
