// Writes packages/core/dist/bundles/: for every entry of the library that packages/core/package.json has for Node, one file and
// what it shares with others, as Node opens a few files sooner than a hundred. They read a file beside them and require packages,
// which bundlers do not follow: these take the files of `tsc -b`, of which they leave out what is not used, also where they bundle
// for Node, as `node-addons` holds for Node alone. Part of `npm run build`.
import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { basename, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'esbuild'
import { shippedWeights } from '../packages/core/src/ear/shippedWeights.js'

const CORE = fileURLToPath(new URL('../packages/core', import.meta.url))
/**
 * Packages in CommonJS. Whatever imports one has Node read all of it for names that it might export, which takes longer than to
 * run it; what is required is just run.
 */
const REQUIRED = /^(fft\.js|jstat|meyda|wav-decoder|yaml)$/

/** Takes the place of what makes bytes of a million letters, which Node would have to compile first. */
const READING_WEIGHTS = `import { readFileSync } from 'node:fs'
export const shippedWeights = () => readFileSync(new URL('ear.bin', import.meta.url))`

const { exports } = JSON.parse(readFileSync(join(CORE, 'package.json'), 'utf8')) as {
  exports: Record<string, string | { readonly 'node-addons': string; readonly default: string }>
}
const entries = Object.values(exports).filter((entry) => typeof entry !== 'string')
const outdir = join(CORE, 'dist/bundles')
rmSync(outdir, { recursive: true, force: true })
mkdirSync(outdir)
writeFileSync(join(outdir, 'ear.bin'), shippedWeights())
await build({
  absWorkingDir: CORE,
  entryPoints: entries.map((entry) => ({ in: entry.default, out: basename(entry['node-addons'], '.js') })),
  outdir,
  bundle: true,
  splitting: true,
  format: 'esm',
  platform: 'node',
  target: 'node20',
  packages: 'external',
  plugins: [
    {
      name: 'required packages',
      setup({ onResolve, onLoad }) {
        onResolve({ filter: REQUIRED }, ({ path }) => ({ path, namespace: 'required' }))
        onLoad({ filter: REQUIRED, namespace: 'required' }, ({ path }) => ({ contents: requiring(path) }))
      },
    },
    {
      name: 'weights',
      setup: ({ onLoad }) =>
        onLoad({ filter: /[\\/]shippedWeights\.js$/ }, () => ({ contents: READING_WEIGHTS })),
    },
  ],
  logLevel: 'warning',
})

/** A module that exports what a package in CommonJS does. */
function requiring(name: string): string {
  const names = Object.keys(createRequire(join(CORE, 'package.json'))(name)).filter(
    (name) => name !== 'default',
  )
  return `import { createRequire } from 'node:module'
const required = createRequire(import.meta.url)('${name}')
export default required
export const { ${names.join(', ')} } = required`
}
