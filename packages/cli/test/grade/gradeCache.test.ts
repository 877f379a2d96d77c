import { createHash } from 'node:crypto'
import {
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  truncateSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { writeAtomically } from '../../src/io/atomicFile.js'
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

  it('says that it cannot write', async () => {
    writeFileSync(join(folder, 'file'), '')
    await expect(openGradeCache(join(folder, 'file'), 'build', {}).put('content', answer)).rejects.toThrow()
  })

  it('is emptied, and empty stays empty', async () => {
    const cache = openGradeCache(folder, 'build', {})
    await cache.put('one', answer)
    await cache.put('two', answer)
    const bytes = 2 * JSON.stringify(answer).length
    expect(await clearCache(folder)).toEqual({ files: 2, bytes })
    expect(await cache.get('one')).toBeUndefined()
    expect(await clearCache(folder)).toEqual({ files: 0, bytes: 0 })
  })
})

describe('writeAtomically', () => {
  it('replaces the whole content, makes folders, and leaves no draft behind', async () => {
    const path = join(folder, 'a', 'b', 'grades.csv')
    await writeAtomically(path, 'a long first version')
    await writeAtomically(path, 'short')
    expect(readFileSync(path, 'utf8')).toBe('short')
    expect(files()).toEqual([path])
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
