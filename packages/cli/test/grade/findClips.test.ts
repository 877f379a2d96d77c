import { execFileSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join, relative } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { FileError } from '../../src/exit.js'
import { findClips } from '../../src/io/findClips.js'

const folder = mkdtempSync(join(tmpdir(), 'everyrev-find-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

beforeAll(() => {
  const files = [
    'spring/ride 2.wav',
    'spring/ride 10.M4A',
    'spring/notes.txt',
    'spring/._ride 2.wav',
    'spring/.trash/old.wav',
    'spring/hill/ride 3.opus',
    'spring/two\nlines.wav',
    '[a] {b}/ride.wav',
    'only-folders/deep/ride.wav',
    'pictures/one.jpg',
  ]
  for (const file of files) {
    mkdirSync(dirname(join(folder, file)), { recursive: true })
    writeFileSync(join(folder, file), '')
  }
  mkdirSync(join(folder, 'empty'))
})

const find = async (paths: readonly string[], recursive = false) => {
  const { clips, passedOver } = await findClips(
    paths.map((path) => join(folder, path)),
    { recursive },
  )
  return { files: clips.map(({ file }) => relative(folder, file)), passedOver }
}

describe('findClips', () => {
  it('takes the clips of a folder by their ending, in order of their numbers', async () => {
    expect(await find(['spring'])).toEqual({
      files: ['spring/ride 2.wav', 'spring/ride 10.M4A', 'spring/two\nlines.wav'],
      passedOver: 1,
    })
  })

  it('goes into folders with --recursive, not into hidden ones', async () => {
    expect((await find(['spring'], true)).files).toContain('spring/hill/ride 3.opus')
    expect((await find(['spring'], true)).files.join()).not.toMatch(/old|\._/)
  })

  it('takes a named file whatever its ending, each file once', async () => {
    expect(await find(['spring/notes.txt', 'spring/ride 2.wav', 'spring'])).toEqual({
      files: ['spring/notes.txt', 'spring/ride 2.wav', 'spring/ride 10.M4A', 'spring/two\nlines.wav'],
      passedOver: 1,
    })
  })

  it('follows patterns, but takes what is there by its very name', async () => {
    expect((await find(['spring/r*.wav'])).files).toEqual(['spring/ride 2.wav'])
    expect((await find(['spr*'])).files).toContain('spring/ride 10.M4A')
    expect((await find(['[a] {b}'])).files).toEqual(['[a] {b}/ride.wav'])
  })

  it('calls a file by the folder it lies in, not by a link that comes first by name', async () => {
    const season = join(folder, 'season')
    mkdirSync(join(season, 'may'), { recursive: true })
    for (const name of ['1.wav', '2.wav']) writeFileSync(join(season, 'may', name), '')
    symlinkSync('may', join(season, 'best'))
    symlinkSync(join('may', '2.wav'), join(season, 'a.wav'))
    symlinkSync('..', join(season, 'may', 'all'))
    symlinkSync(join('..', 'spring'), join(season, 'linked'))
    const clips = ['season/linked/hill/ride 3.opus', 'season/linked/ride 2.wav']
    expect((await find(['season'], true)).files).toEqual([
      ...[...clips, 'season/linked/ride 10.M4A', 'season/linked/two\nlines.wav'],
      ...['season/may/1.wav', 'season/may/2.wav'],
    ])
    symlinkSync('season', join(folder, 'this year'))
    expect((await find(['this year'], true)).files.slice(-2)).toEqual([
      'this year/may/1.wav',
      'this year/may/2.wav',
    ])
  })

  it('names files as they were named', async () => {
    const path = join(folder, 'spring', 'ride 2.wav')
    expect((await findClips([path], { recursive: false })).clips).toEqual([{ path, file: path }])
  })

  it('ends where links lead round in a circle', async () => {
    symlinkSync(join(folder, 'spring'), join(folder, 'spring', 'hill', 'back'))
    expect((await find(['spring'], true)).files).toHaveLength(4)
    rmSync(join(folder, 'spring', 'hill', 'back'))
  })

  it.each([
    ['nothing here', 'there is no such file or folder', 'check the name'],
    ['x*.wav', 'no file fits this pattern', /quotes/],
    ['pictures', 'holds no sound or video file', /folder your clips are in/],
    ['empty', 'holds no sound or video file', /folder your clips are in/],
    ['only-folders', 'holds no clip itself, but its folders hold 1', 'add --recursive'],
  ])('%s: says what is wrong', async (path, message, hint) => {
    await expect(find(['spring', path])).rejects.toMatchObject({
      file: join(folder, path),
      message,
      cause: { code: 'unreadable', hint: expect.stringMatching(hint) },
    })
    await expect(find([path])).rejects.toBeInstanceOf(FileError)
  })

  it('refuses a pipe, which would be waited for', async (context) => {
    if (process.platform === 'win32') return context.skip('Windows has no such pipes')
    execFileSync('mkfifo', [join(folder, 'pipe.wav')])
    await expect(find(['pipe.wav'])).rejects.toThrow('is not a file')
  })
})
