import { execFileSync, spawnSync } from 'node:child_process'
import { copyFileSync, existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { npm, pack, WORKSPACES, withFolder } from './packed.js'
import { buildSingle } from './single/build.js'

const root = new URL('../../', import.meta.url)
const CLIP = 'cruise-needle-clip-2.wav'

/** npm's words when the registry cannot be asked and its cache does not hold all. */
const NO_REGISTRY = /ENOTCACHED|ENOTFOUND|EAI_AGAIN|ECONNREFUSED|ECONNRESET|ETIMEDOUT|ENETUNREACH|network/i

/** Skips the test where packages cannot be had; any other failure is one. */
function needsRegistry(test: { skip(why: string): never }, install: () => void): void {
  try {
    install()
  } catch (error) {
    const { stderr = '', message = '' } = error as { stderr?: string; message?: string }
    if (!NO_REGISTRY.test(stderr + message)) throw error
    test.skip('the npm registry cannot be reached, and its cache does not hold all packages')
  }
}

/** What the README shows of `everyrev check`. */
const [, DEMO] = /<!-- everyrev check [^>]*-->\n```\n(.*?)```/s.exec(
  readFileSync(new URL('README.md', root), 'utf8'),
)!

it(
  'installed for all folders from what npm run pack makes, it does what the README shows, in an empty folder and home',
  (test) =>
    withFolder((folder) => {
      const [home, prefix] = ['home', 'prefix'].map((name) => join(folder, name)) as [string, string]
      mkdirSync(home)
      const tarballs = WORKSPACES.map((workspace) => pack(workspace, folder).path)
      needsRegistry(test, () =>
        npm(
          [
            'install',
            '--global',
            '--prefix',
            prefix,
            '--prefer-offline',
            '--no-audit',
            '--no-fund',
            ...tarballs,
          ],
          folder,
        ),
      )
      copyFileSync(new URL(`fixtures/${CLIP}`, root), join(home, CLIP))
      const env = { HOME: home, PATH: `${join(prefix, 'bin')}:${process.env.PATH}`, COLUMNS: '80' }
      const run = (...args: string[]) => spawnSync('everyrev', args, { cwd: home, env, encoding: 'utf8' })
      expect(run('check', CLIP)).toMatchObject({ status: 0, stderr: '', stdout: DEMO })
      expect(run('page', '--out', 'phone.html').status).toBe(0)
      expect(run('grade', '.').stdout).toContain(CLIP)
      expect(existsSync(join(prefix, 'share/man/man1/everyrev.1'))).toBe(process.platform !== 'win32')
    }),
  300_000,
)

it(
  'the library, packed and installed, does what its README shows',
  (test) =>
    withFolder((folder) => {
      writeFileSync(join(folder, 'package.json'), '{ "type": "module" }')
      needsRegistry(test, () =>
        npm(['install', '--prefer-offline', '--no-audit', '--no-fund', pack('core', folder).path], folder),
      )
      copyFileSync(new URL(`fixtures/${CLIP}`, root), join(folder, CLIP))
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

it(
  'the single file runs where there is no Node, its processes too, and unfolds once',
  async (test) =>
    withFolder(async (folder) => {
      const [home, program] = [join(folder, 'home'), join(folder, 'everyrev')]
      mkdirSync(home)
      try {
        await buildSingle(program)
      } catch (error) {
        needsRegistry(test, () => {
          throw error
        })
      }
      copyFileSync(new URL(`fixtures/${CLIP}`, root), join(home, CLIP))
      const run = (...args: string[]) =>
        spawnSync(program, args, {
          cwd: home,
          env: { HOME: home, PATH: home, COLUMNS: '80' },
          encoding: 'utf8',
        })
      expect(run('check', CLIP)).toMatchObject({ status: 0, stderr: '', stdout: DEMO })
      expect(run('grade', '.')).toMatchObject({ status: 0, stderr: '' })
      expect(run('check', 'none.wav')).toMatchObject({ status: 2, stdout: '' })
      expect(
        readdirSync(join(home, '.cache/everyrev')).filter((name) => name.startsWith('program-')),
      ).toHaveLength(1)
    }),
  300_000,
)
