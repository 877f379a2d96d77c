import {
  chmodSync,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { hostname, tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { changeLogFile, createLogFile, readLogFile } from '../../src/io/logFile.js'
import { takeLock } from '../../src/io/logLock.js'

let folder: string
let log: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'everyrev-lock-'))
  log = join(folder, 'bike.yaml')
  writeFileSync(log, 'before\n')
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

const names = () => readdirSync(folder).sort()
const append = (line: string) => changeLogFile(log, (text) => ({ text: `${text}${line}\n`, result: line }))
const lockOf = (over: Record<string, unknown>) =>
  JSON.stringify({
    everyrevLock: 1,
    token: '0b6e2a5e-1111-4111-8111-111111111111',
    pid: process.pid,
    host: 'another-machine',
    processStart: null,
    since: '2026-04-03T10:00:00Z',
    ...over,
  })

describe('changeLogFile', () => {
  it('leaves what a user keeps under names like its own', async () => {
    const mine = ['bike.yaml.new', 'bike.yaml.tmp', 'bike.yaml.lock', 'bike.yaml.mine.everyrev-text']
    for (const name of mine) writeFileSync(join(folder, name), 'mine')
    await append('one')
    expect(names()).toEqual(['bike.yaml', 'bike.yaml.bak', ...mine].sort())
    for (const name of mine) expect(readFileSync(join(folder, name), 'utf8')).toBe('mine')
  })

  it('replaces a link at the backup’s name, and does not follow it', async () => {
    const other = join(folder, 'other')
    writeFileSync(other, 'mine')
    symlinkSync(other, `${log}.bak`)
    await append('one')
    expect(readFileSync(other, 'utf8')).toBe('mine')
    expect(lstatSync(`${log}.bak`).isFile()).toBe(true)
    expect(readFileSync(`${log}.bak`, 'utf8')).toBe('before\n')
  })

  it('follows a link to the log', async () => {
    const link = join(folder, 'link.yaml')
    symlinkSync(log, link)
    await changeLogFile(link, () => ({ text: 'after\n', result: null }))
    expect(lstatSync(link).isSymbolicLink()).toBe(true)
    expect(readFileSync(log, 'utf8')).toBe('after\n')
  })

  it('does not replace a read-only log', async () => {
    chmodSync(log, 0o444)
    await expect(append('one')).rejects.toThrow('is read-only; nothing was written')
    expect(readFileSync(log, 'utf8')).toBe('before\n')
    expect(names()).toEqual(['bike.yaml'])
  })

  it('says so when the backup’s name is a folder', async () => {
    mkdirSync(`${log}.bak`)
    await expect(append('one')).rejects.toThrow('its .bak is a directory')
    expect(readFileSync(log, 'utf8')).toBe('before\n')
    expect(names()).toEqual(['bike.yaml', 'bike.yaml.bak'])
  })

  it('leaves nothing when the change is refused', async () => {
    const refuse = changeLogFile(log, () => {
      throw new Error('no')
    })
    await expect(refuse).rejects.toThrow('no')
    expect(names()).toEqual(['bike.yaml'])
  })

  it('begins again when the log is edited meanwhile', async () => {
    let calls = 0
    await changeLogFile(log, (text) => {
      if (++calls === 1) writeFileSync(log, 'edited\n')
      return { text: `${text}one\n`, result: null }
    })
    expect(readFileSync(log, 'utf8')).toBe('edited\none\n')
    expect(calls).toBe(2)
  })

  it('waits for another writer', async () => {
    const lock = await takeLock(log)
    const waiting = append('two')
    await wait(300)
    expect(readFileSync(log, 'utf8')).toBe('before\n')
    await lock.release()
    await waiting
    expect(readFileSync(log, 'utf8')).toBe('before\ntwo\n')
  })

  it('takes over at once from a process of this machine that has ended', async () => {
    // With the clock still no lock grows old, so only that its owner has ended lets it be taken over.
    const clock = vi.spyOn(performance, 'now').mockReturnValue(0)
    // A number no process has (proc(5): at most 2^22), and this process at another time.
    for (const ended of [{ pid: 2 ** 22 + 1 }, { processStart: '1' }]) {
      writeFileSync(`${log}.everyrev-lock`, lockOf({ host: hostname(), ...ended }))
      writeFileSync(`${log}.0b6e2a5e-1111-4111-8111-111111111111.everyrev-text`, 'half a dra')
      await append('one')
      expect(names()).toEqual(['bike.yaml', 'bike.yaml.bak'])
      if (process.platform !== 'linux') break
    }
    clock.mockRestore()
  })

  it('notices before the rename that another has taken the lock over, and begins again', async () => {
    let calls = 0
    await changeLogFile(log, (text) => {
      // As if this one had slept here for longer than a lock's age.
      if (++calls === 1) writeFileSync(`${log}.everyrev-lock`, lockOf({ host: hostname(), pid: 2 ** 22 + 1 }))
      return { text: `${text}mine ${calls}\n`, result: null }
    })
    expect(readFileSync(log, 'utf8')).toBe('before\nmine 2\n')
    expect(names()).toEqual(['bike.yaml', 'bike.yaml.bak'])
  })

  it('a writer whose draft was tidied away after its last look writes nothing', async () => {
    const lock = await takeLock(log)
    const draft = lock.draft('text')
    writeFileSync(draft, 'stale\n')
    expect(await lock.isHeld()).toBe(true)
    // Asleep here. Another takes over:
    const path = `${log}.everyrev-lock`
    writeFileSync(path, readFileSync(path, 'utf8').replace(/"pid":\d+/, `"pid":${2 ** 22 + 1}`))
    await append('other')
    expect(() => renameSync(draft, log)).toThrow('ENOENT')
    expect(await lock.isHeld()).toBe(false)
    expect(readFileSync(log, 'utf8')).toBe('before\nother\n')
  })

  it('does not touch a file of that name that is no lock', async () => {
    writeFileSync(`${log}.everyrev-lock`, 'my notes')
    await expect(append('one')).rejects.toThrow('bike.yaml.everyrev-lock beside it is no lock of everyrev')
    expect(readFileSync(`${log}.everyrev-lock`, 'utf8')).toBe('my notes')
  })

  it('takes over a lock of another machine once it has stood still', async () => {
    writeFileSync(`${log}.everyrev-lock`, lockOf({}))
    await append('one')
    expect(readFileSync(log, 'utf8')).toBe('before\none\n')
  })
})

describe('createLogFile', () => {
  it('is whole or not there, and replaces nothing', async () => {
    const path = join(folder, 'new.yaml')
    await createLogFile(path, 'text\n')
    expect(readFileSync(path, 'utf8')).toBe('text\n')
    await expect(createLogFile(path, 'other\n')).rejects.toThrow('is there already')
    symlinkSync(join(folder, 'nowhere'), join(folder, 'dangling.yaml'))
    await expect(createLogFile(join(folder, 'dangling.yaml'), 'other\n')).rejects.toThrow('is there already')
    expect(readFileSync(path, 'utf8')).toBe('text\n')
    expect(names()).toEqual(['bike.yaml', 'dangling.yaml', 'new.yaml'])
  })
})

describe('readLogFile', () => {
  it.runIf(process.platform === 'linux')('reads no device for ever, and no file without end', async () => {
    await expect(readLogFile('/dev/zero')).rejects.toThrow('too large')
    await expect(readLogFile(folder)).rejects.toThrow('is a directory')
  })
})
