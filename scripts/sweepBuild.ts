// Deletes from packages/*/dist what no source stands for any more: `tsc -b` leaves the files of deleted modules behind. Part of
// `npm run build`, after `tsc -b`.
import { existsSync, readdirSync, rmdirSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'

const PACKAGES = fileURLToPath(new URL('../packages', import.meta.url))
/** Folders that the other steps of the build make anew. */
const MADE_ELSEWHERE = 'bundles'
const BUILT = /(\.d\.ts|\.js)(\.map)?$/

for (const name of readdirSync(PACKAGES)) sweep(join(PACKAGES, name, 'src'), join(PACKAGES, name, 'dist'))

function sweep(source: string, built: string): void {
  for (const entry of readdirSync(built, { withFileTypes: true })) {
    const path = join(built, entry.name)
    if (entry.isDirectory()) {
      if (entry.name !== MADE_ELSEWHERE) sweep(join(source, entry.name), path)
    } else if (BUILT.test(entry.name) && !hasSource(join(source, entry.name.replace(BUILT, '')))) rmSync(path)
  }
  if (readdirSync(built).length === 0) rmdirSync(built)
}

function hasSource(path: string): boolean {
  return existsSync(`${path}.ts`) || existsSync(`${path}.tsx`)
}
