import { spawnSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { isBuiltin } from 'node:module'
import { fileURLToPath } from 'node:url'
import { createContext, runInContext } from 'node:vm'
import { build } from 'esbuild'
import { describe, expect, it } from 'vitest'

const CLIP = new URL('../../fixtures/cruise-needle-clip-2.wav', import.meta.url)

/** Listens to the clip; `core` is the library. */
const LISTEN = 'core.analyze(core.toRecording(core.decodeWav(bytes))).score.steady.value'

/** All a bundle may use beside the language itself: it is there in every browser, also in its workers. */
const BROWSER = { WebAssembly, atob, console, TextEncoder, TextDecoder }

describe.each([
  '@everyrev/core',
  '@everyrev/core/errors',
  '@everyrev/core/hear',
  '@everyrev/core/tuning',
  '@everyrev/core/workshop',
])('%s', (name) => {
  it('is bundled for a browser without anything of Node', async () => {
    const { warnings, imports } = await bundle(name)
    expect(warnings).toEqual([])
    expect(imports.filter((i) => i.external || i.path.startsWith('node:'))).toEqual([])
  })

  it('is bundled for Node with all it needs, and reads no file beside it', async () => {
    const { warnings, imports } = await bundle(name, 'node')
    expect(warnings).toEqual([])
    expect(imports.filter((i) => i.external && !isBuiltin(i.path))).toEqual([])
    expect(imports.map((i) => i.path)).not.toContain('node:fs')
  })
})

describe('the library', () => {
  it('gives the same answer as a bundle where nothing of Node is at hand, and in Node', async () => {
    const { outputFiles } = await bundle('@everyrev/core')
    const bytes = new Uint8Array(readFileSync(CLIP))
    const page = createContext({ ...BROWSER, bytes })
    const value = runInContext(`${outputFiles[0]!.text}\n${LISTEN}`, page)
    // The truth is 0.42; the ear hears 0.27.
    expect(value).toBeGreaterThan(0.25)
    expect(value).toBeLessThan(0.55)
    expect(inNode()).toBe(value)
  })
})

async function bundle(name: string, platform: 'browser' | 'node' = 'browser') {
  const built = await build({
    stdin: { contents: `export * from '${name}'`, resolveDir: fileURLToPath(new URL('.', import.meta.url)) },
    bundle: true,
    platform,
    format: 'iife',
    globalName: 'core',
    write: false,
    metafile: true,
    logLevel: 'silent',
  })
  return { ...built, imports: Object.values(built.metafile.inputs).flatMap((input) => input.imports) }
}

function inNode(): number {
  const program = `
    import * as core from '@everyrev/core'
    import { readFileSync } from 'node:fs'
    const bytes = readFileSync(process.argv[1])
    console.log(${LISTEN})`
  const cwd = fileURLToPath(new URL('.', import.meta.url))
  const args = ['--input-type=module', '-e', program, fileURLToPath(CLIP)]
  const { stdout, stderr } = spawnSync(process.execPath, args, { cwd, encoding: 'utf8' })
  expect(stderr).toBe('')
  return Number(stdout)
}
