import { execFileSync, spawnSync } from 'node:child_process'
import { copyFileSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { npm, pack, WORKSPACES, withFolder } from './packed.js'

const root = new URL('../../', import.meta.url)
const CLIP = 'cruise-needle-clip-2.wav'

/** npm's words when the registry cannot be asked and its cache does not hold all. */
const NO_REGISTRY = /ENOTCACHED|ENOTFOUND|EAI_AGAIN|ECONNREFUSED|ECONNRESET|ETIMEDOUT|ENETUNREACH|network/i

it(
  'both packages, packed and installed into an empty folder, do what the README shows first',
  (test) =>
    withFolder((folder) => {
      const tarballs = WORKSPACES.map((workspace) => pack(workspace, folder).path)
      writeFileSync(join(folder, 'package.json'), '{ "type": "module" }')
      try {
        npm(['install', '--prefer-offline', '--no-audit', '--no-fund', ...tarballs], folder)
      } catch (error) {
        const { stderr } = error as { stderr: string }
        if (!NO_REGISTRY.test(stderr)) throw error
        test.skip('the npm registry cannot be reached, and its cache does not hold all packages')
      }
      copyFileSync(new URL(`fixtures/${CLIP}`, root), join(folder, CLIP))

      const checked = spawnSync('npx', ['--no-install', 'everyrev', 'check', CLIP], {
        cwd: folder,
        encoding: 'utf8',
      })
      expect(checked.stderr).toBe('')
      expect(checked.status).toBe(0)
      const [, demo] = /<!-- everyrev check [^>]*-->\n```\n(.*?)```/s.exec(
        readFileSync(new URL('README.md', root), 'utf8'),
      )!
      expect(checked.stdout).toBe(demo)

      const [, example] = /```ts\n(.*?)```/s.exec(
        readFileSync(new URL('packages/core/README.md', root), 'utf8'),
      )!
      writeFileSync(join(folder, 'example.js'), example!)
      expect(execFileSync(process.execPath, ['example.js'], { cwd: folder, encoding: 'utf8' })).toMatch(
        /^skips 0\.\d+ \(0(\.\d+)? to 0\.\d+\)\nsteady 4\d+\.\d+ [a-z-]+\n$/,
      )
    }),
  300_000,
)
