import { spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import {
  chmodSync,
  chownSync,
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  symlinkSync,
  truncateSync,
  writeFileSync,
} from 'node:fs'
import { type FileHandle, open } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { writeAtomically } from '../../src/io/atomicFile.js'
import { findCacheFolder } from '../../src/io/cacheFolder.js'
import { clearCache, contentHash, openGradeCache } from '../../src/io/gradeCache.js'
import { checkOf } from './rows.js'

let folder: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'everyrev-cache-'))
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

const files = () =>
  readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .map((name) => join(folder, name))
    .filter((path) => statSync(path).isFile())

describe('openGradeCache', () => {
  const answer = checkOf([0.3, 0.2, 0.4])

  it('gives an answer back for the same content, build and options, and for no others', async () => {
    await openGradeCache(folder, 'build 1', { expectRpm: null }).put('content', answer)
    const found = (build: string, options: object, content: string) =>
      openGradeCache(folder, build, options).get(content)
    expect(await found('build 1', { expectRpm: null }, 'content')).toEqual(answer)
    expect(await found('build 2', { expectRpm: null }, 'content')).toBeUndefined()
    expect(await found('build 1', { expectRpm: [3000, 5000] }, 'content')).toBeUndefined()
    expect(await found('build 1', { expectRpm: null }, 'other')).toBeUndefined()
  })

  it('takes what was cut or spoilt for not there, and mends it', async () => {
    const cache = openGradeCache(folder, 'build', {})
    await cache.put('content', answer)
    const [path = ''] = files()
    truncateSync(path, 40)
    expect(await cache.get('content')).toBeUndefined()
    writeFileSync(path, '{"schemaVersion": 0}')
    expect(await cache.get('content')).toBeUndefined()
    await cache.put('content', answer)
    expect(await cache.get('content')).toEqual(answer)
  })

  it('believes nothing that it has not written itself, for this very clip', async () => {
    const cache = openGradeCache(folder, 'build', {})
    await cache.put('content', answer)
    await cache.put('other', { ...answer, durationS: 99 })
    expect(await cache.get('content')).toEqual(answer)
    const paths = files()
    const [path] = await Promise.all(
      paths.map(async (p) => (readFileSync(p, 'utf8').includes('99') ? '' : p)),
    ).then((own) => own.filter((p) => p !== ''))
    const right = readFileSync(path!, 'utf8')
    const { sum, check } = JSON.parse(right)
    const another = readFileSync(paths.find((p) => p !== path)!, 'utf8')
    const wrong: Record<string, string> = {
      edited: right.replace('0.3', '0.1'),
      'kept for another clip': another,
      retyped: JSON.stringify({ sum, check: { ...check, durationS: '12' } }),
      'a list': '[]',
      null: 'null',
      'without its sum': JSON.stringify(check),
      'with more in it': JSON.stringify({ sum, check: { ...check, more: 1 } }),
      'deep nesting': '['.repeat(100_000),
      'a bad segment': JSON.stringify({ sum, check: { ...check, segments: [{ startS: 'x' }] } }),
    }
    for (const [what, text] of Object.entries(wrong)) {
      writeFileSync(path!, text)
      expect(await cache.get('content'), what).toBeUndefined()
    }
    writeFileSync(path!, right)
    expect(await cache.get('content')).toEqual(answer)
  })

  it.skipIf(process.platform === 'win32')('opens files only: no link, pipe, device or folder', async () => {
    const cache = openGradeCache(folder, 'build', {})
    await cache.put('content', answer)
    const [path = ''] = files()
    renameSync(path, `${path}.moved`)
    symlinkSync(`${path}.moved`, path)
    expect(await cache.get('content')).toBeUndefined()
    for (const make of [
      () => spawnSync('mkfifo', [path]),
      () => symlinkSync('/dev/zero', path),
      () => mkdirSync(path),
    ]) {
      rmSync(path, { recursive: true })
      make()
      expect(await cache.get('content')).toBeUndefined()
    }
  })

  it('keeps answers to itself', async () => {
    await openGradeCache(join(folder, 'new'), 'build', {}).put('content', answer)
    expect(statSync(files()[0]!).mode & 0o777).toBe(0o600)
    expect(statSync(join(folder, 'new')).mode & 0o777).toBe(0o700)
  })

  it('says that it cannot write', async () => {
    writeFileSync(join(folder, 'file'), '')
    await expect(openGradeCache(join(folder, 'file'), 'build', {}).put('content', answer)).rejects.toThrow()
  })

  it('is emptied, and empty stays empty', async () => {
    const cache = openGradeCache(folder, 'build', {})
    await cache.put('one', answer)
    await cache.put('two', answer)
    const bytes = files().reduce((sum, path) => sum + statSync(path).size, 0)
    writeFileSync(`${files()[0]}.0b6e2a5e-0000-4000-8000-000000000000.tmp`, '')
    expect(await clearCache(folder)).toEqual({ files: 3, bytes })
    expect(await cache.get('one')).toBeUndefined()
    expect(await clearCache(folder)).toEqual({ files: 0, bytes: 0 })
  })
})

describe('clearCache', () => {
  it('leaves what is not the cache’s, and follows no link', async () => {
    const elsewhere = join(folder, 'elsewhere')
    mkdirSync(elsewhere)
    const name = `${'a'.repeat(64)}.json`
    writeFileSync(join(elsewhere, name), 'mine')
    const cache = join(folder, 'cache')
    mkdirSync(cache)
    writeFileSync(join(cache, 'notes.txt'), 'mine')
    symlinkSync(elsewhere, join(cache, 'ab'))
    expect(await clearCache(cache)).toEqual({ files: 0, bytes: 0 })
    expect(readFileSync(join(elsewhere, name), 'utf8')).toBe('mine')
    expect(readFileSync(join(cache, 'notes.txt'), 'utf8')).toBe('mine')
  })
})

describe('findCacheFolder', () => {
  const withCaches = (path: string) => {
    vi.stubEnv('XDG_CACHE_HOME', path)
    return findCacheFolder().finally(() => vi.unstubAllEnvs())
  }

  it('is below the cache folder of the system', async () => {
    const found = await withCaches(folder)
    if (process.platform === 'linux') expect(found).toEqual({ folder: join(folder, 'everyrev', 'grade') })
  })

  it('is nowhere without a home, or for a path that depends on where one stands', async () => {
    if (process.platform === 'linux')
      expect(await withCaches('here')).toEqual({ none: 'there is no home folder' })
  })

  it.runIf(process.getuid?.() === 0)('is nowhere in a folder of somebody else’s', async () => {
    chownSync(folder, 12_345, 12_345)
    expect(await withCaches(folder)).toEqual({
      none: expect.stringContaining('belongs to another user'),
    })
  })
})

describe.runIf(process.getuid?.() === 0 && process.platform === 'linux')(
  'a user without name and home',
  () => {
    const PROGRAM = fileURLToPath(new URL('../../bin/everyrev.js', import.meta.url))
    const run = (...args: string[]) => {
      const env = { PATH: process.env.PATH! }
      return spawnSync(process.execPath, [PROGRAM, ...args], {
        encoding: 'utf8',
        uid: 12_345,
        gid: 12_345,
        env,
      })
    }

    it('has clips graded without a cache, and none to clear', () => {
      chmodSync(folder, 0o755)
      copyFileSync(
        new URL('../../../../fixtures/cruise-needle-clip-2.wav', import.meta.url),
        join(folder, 'a.wav'),
      )
      const graded = run('grade', folder, '--no-progress')
      expect(graded).toMatchObject({
        status: 0,
        stdout: expect.stringContaining('a.wav'),
        stderr: 'everyrev: no cache, so nothing is kept: there is no home folder\n',
      })
      expect(run('cache', 'clear')).toMatchObject({
        status: 0,
        stdout: 'There is no cache: there is no home folder.\n',
      })
    })
  },
)

describe('writeAtomically', () => {
  it('replaces the whole content, makes folders, and leaves no draft behind', async () => {
    const path = join(folder, 'a', 'b', 'grades.csv')
    await writeAtomically(path, 'a long first version')
    await writeAtomically(path, 'short')
    expect(readFileSync(path, 'utf8')).toBe('short')
    expect(files()).toEqual([path])
  })

  it('has the disk know of the new name too, once the file has it, where it is to outlive a power cut', async () => {
    const path = join(folder, 'grades.csv')
    const handle = await open(folder)
    const synced: string[] = []
    vi.spyOn(Object.getPrototypeOf(handle), 'sync').mockImplementation(async function (this: FileHandle) {
      const what = (await this.stat()).isDirectory() ? 'folder' : 'file'
      synced.push(`${what}, ${existsSync(path) ? 'named' : 'not named'}`)
    } as () => Promise<void>)
    await handle.close()
    await writeAtomically(path, 'kept')
    expect(synced).toEqual(['file, not named', 'folder, named'])
    await writeAtomically(path, 'not waited for', { durable: false })
    expect(synced).toHaveLength(2)
  })

  it('leaves the old content where the new cannot be put', async () => {
    const path = join(folder, 'taken')
    await writeAtomically(join(path, 'inside'), 'old')
    await expect(writeAtomically(path, 'new')).rejects.toThrow()
    expect(readFileSync(join(path, 'inside'), 'utf8')).toBe('old')
    expect(files()).toEqual([join(path, 'inside')])
  })

  it('never shows a part to a reader', async () => {
    const path = join(folder, 'file')
    const versions = ['a', 'b'].map((letter) => letter.repeat(300_000))
    await writeAtomically(path, versions[0]!)
    let isWriting = true
    const writing = (async () => {
      for (let k = 1; k <= 20; k++) await writeAtomically(path, versions[k % 2]!)
      isWriting = false
    })()
    const seen = new Set<string>()
    while (isWriting) {
      const text = readFileSync(path, 'utf8')
      seen.add(text)
      await new Promise((done) => setImmediate(done))
    }
    await writing
    expect([...seen].every((text) => versions.includes(text))).toBe(true)
    expect(seen.size).toBe(2) // so it did read while it was written
  })
})

describe('contentHash', () => {
  it('is SHA-256 of the bytes', async () => {
    const path = join(folder, 'abc')
    writeFileSync(path, 'abc')
    // FIPS 180-2, appendix B.1
    expect(await contentHash(path)).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad')
    const long = Buffer.alloc(1_000_001, 7)
    writeFileSync(path, long)
    expect(await contentHash(path)).toBe(createHash('sha256').update(long).digest('hex'))
  })
})
