/**
 * Makes one file of the program, Node and all packages, for the machine it is made on: `npm run single` writes packed/everyrev.
 *
 * @see https://nodejs.org/docs/latest-v20.x/api/single-executable-applications.html
 */
import { execFileSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import {
  chmodSync,
  copyFileSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  statSync,
  writeFileSync,
} from 'node:fs'
import { dirname, join, relative } from 'node:path'
import { fileURLToPath } from 'node:url'
import { gzipSync } from 'node:zlib'
import { inject } from 'postject'
import { npm, pack, WORKSPACES, withFolder } from '../packed.js'

const FUSE = 'NODE_SEA_FUSE_fce680ab2cc467b6e072b8b5df1996b2'

/** @throws when npm can reach neither its registry nor a cache that holds all packages */
export async function buildSingle(to: string): Promise<void> {
  await withFolder(async (folder) => {
    const installed = join(folder, 'installed')
    mkdirSync(installed)
    writeFileSync(join(installed, 'package.json'), '{ "private": true }')
    const tarballs = WORKSPACES.map((workspace) => pack(workspace, folder).path)
    npm(['install', '--prefer-offline', '--no-audit', '--no-fund', ...tarballs], installed)

    const { files, print } = folded(installed)
    writeFileSync(join(folder, 'files'), files)
    writeFileSync(join(folder, 'print'), print)
    const config = {
      main: fileURLToPath(new URL('start.cjs', import.meta.url)),
      output: join(folder, 'blob'),
      disableExperimentalSEAWarning: true,
      assets: { files: join(folder, 'files'), print: join(folder, 'print') },
    }
    writeFileSync(join(folder, 'config.json'), JSON.stringify(config))
    execFileSync(process.execPath, ['--experimental-sea-config', join(folder, 'config.json')], {
      stdio: 'pipe',
    })
    mkdirSync(dirname(to), { recursive: true })
    copyFileSync(process.execPath, to)
    chmodSync(to, 0o755)
    await inject(to, 'NODE_SEA_BLOB', readFileSync(config.output), {
      sentinelFuse: FUSE,
      ...(process.platform === 'darwin' && { machoSegmentName: 'NODE_SEA' }),
    })
  })
}

/** All files of a folder in one: length of the index, index of names and sizes, contents with gzip; and a print of it. */
function folded(folder: string): { files: Buffer; print: string } {
  const names = readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => statSync(join(folder, name)).isFile() && !/\.(map|md|d\.ts|d\.mts|d\.cts)$/.test(name))
    .sort()
  const contents = names.map((name) => readFileSync(join(folder, name)))
  const index = Buffer.from(
    JSON.stringify(names.map((name, k) => [relative(folder, join(folder, name)), contents[k]!.length])),
  )
  const length = Buffer.alloc(4)
  length.writeUInt32LE(index.length)
  const files = Buffer.concat([length, index, gzipSync(Buffer.concat(contents))])
  return { files, print: createHash('sha256').update(files).digest('hex').slice(0, 16) }
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const to = fileURLToPath(new URL('../../../packed/everyrev', import.meta.url))
  await buildSingle(to)
  process.stdout.write(`${to} (${Math.round(statSync(to).size / 1e6)} MB)\n`)
}
