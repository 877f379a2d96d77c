import { randomUUID } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { link, open, readdir, readFile, rename, rm } from 'node:fs/promises'
import { hostname } from 'node:os'
import { basename, dirname, join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { InputError } from '@everyrev/core/errors'
import * as v from 'valibot'

/** A lock that has not changed for so long is taken over, ms: its owner sleeps, or died on another machine. Chosen. */
const LOCK_AGE_MS = 5_000
/** Waited for a lock that others keep passing on between them, ms. Chosen. */
const PATIENCE_MS = 60_000
const LOOK_MS = 25

const OWNER = v.strictObject({
  everyrevLock: v.literal(1),
  token: v.pipe(v.string(), v.uuid()),
  pid: v.pipe(v.number(), v.integer(), v.minValue(1)),
  host: v.string(),
  /** When the process began, as the system counts; tells it from a later one of the same number. */
  processStart: v.nullable(v.string()),
  since: v.string(),
})
type Owner = v.InferOutput<typeof OWNER>

/** The right to write a log, as long as nobody takes it over. */
export interface LogLock {
  /** Where the owner puts a draft; whoever has the lock next removes what is left of it. */
  draft(what: 'text' | 'backup'): string
  /** Whether it is still held. */
  isHeld(): Promise<boolean>
  release(): Promise<void>
}

/**
 * Takes the lock of a file, `NAME.everyrev-lock` beside it, waiting while another writer has it.
 *
 * A lock can be lost at any moment, since a machine may fall asleep between any two steps. So it is not the lock that keeps
 * writers apart but the order of steps: a writer takes the lock, removes the drafts of all writers before it, reads the file,
 * writes its draft, sees that the lock is still its own, and only then renames the draft into place. Whoever lost the lock
 * before that look sees it there; whoever loses it after that look finds its draft gone, and the rename fails. Either way
 * nothing is overwritten, and the writer begins again.
 *
 * @param path absolute, links followed
 * @throws {InputError} `unreadable` where a file that is no lock has its name, or others keep it for a minute; the system's
 *   error where none can be made
 */
export async function takeLock(path: string): Promise<LogLock> {
  const token = randomUUID()
  const lockPath = `${path}.everyrev-lock`
  const claim = `${path}.${token}.everyrev-claim`
  const mine = JSON.stringify(ownerNow(token))
  const startMs = performance.now()
  let seen = ''
  let seenMs = startMs
  try {
    while (!(await claimFree(claim, lockPath, mine))) {
      const found = await readFile(lockPath, 'utf8').catch(goneAsNull)
      if (found === null) continue
      const nowMs = performance.now()
      if (found !== seen) [seen, seenMs] = [found, nowMs]
      const owner = readOwner(found)
      // What is half written is no user's file only when it is empty: where there are no links, it is written in place.
      if (owner === null && found !== '') throw foreignError(basename(lockPath))
      if ((owner && hasEnded(owner)) || nowMs - seenMs > LOCK_AGE_MS) {
        if (await takeOver(claim, lockPath, mine)) break
        continue
      }
      if (nowMs - startMs > PATIENCE_MS) throw busyError(owner)
      await wait(LOOK_MS * (1 + Math.random()))
    }
  } finally {
    await rm(claim, { force: true }).catch(() => {})
  }
  const isHeld = async () => (await readFile(lockPath, 'utf8').catch(goneAsNull)) === mine
  const lock: LogLock = {
    draft: (what) => `${path}.${token}.everyrev-${what}`,
    isHeld,
    async release() {
      if (await isHeld().catch(() => false)) await rm(lockPath, { force: true }).catch(() => {})
    },
  }
  try {
    await removeDrafts(path)
  } catch (error) {
    await lock.release()
    throw error
  }
  return lock
}

/** Takes a lock nobody has, in one step, its content with it. @returns false where somebody has it */
async function claimFree(claim: string, lockPath: string, mine: string): Promise<boolean> {
  await writeWhole(claim, mine).catch(existsAsFalse)
  try {
    await link(claim, lockPath)
    return true
  } catch (error) {
    const { code = '' } = error as NodeJS.ErrnoException
    // A claim that whoever has the lock has tidied away is made again.
    if (code === 'EEXIST' || code === 'ENOENT') return false
    if (!NO_LINKS.has(code)) throw error
    return writeWhole(lockPath, mine).then(() => true, existsAsFalse)
  }
}

/** Codes for disks that know no hard links, as memory cards have. */
export const NO_LINKS: ReadonlySet<string> = new Set([
  'EPERM',
  'ENOTSUP',
  'EOPNOTSUPP',
  'ENOSYS',
  'EINVAL',
  'EMLINK',
])

/** Puts the claim in the place of a lock. @returns false where the claim was tidied away meanwhile */
async function takeOver(claim: string, lockPath: string, mine: string): Promise<boolean> {
  await writeWhole(claim, mine).catch(existsAsFalse)
  return rename(claim, lockPath).then(
    () => true,
    (error: unknown) => goneAsNull(error as NodeJS.ErrnoException) !== null,
  )
}

/** Drafts of this file by writers that no longer have the lock; only names with a token of theirs. */
async function removeDrafts(path: string): Promise<void> {
  const start = `${basename(path)}.`
  for (const name of await readdir(dirname(path))) {
    if (!name.startsWith(start) || !DRAFT.test(name.slice(start.length))) continue
    await rm(join(dirname(path), name), { force: true })
  }
}

const DRAFT = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}\.everyrev-(text|backup|claim)$/

function ownerNow(token: string): Owner {
  const { pid } = process
  const since = new Date().toISOString()
  return { everyrevLock: 1, token, pid, host: hostname(), processStart: startOf(pid), since }
}

function readOwner(text: string): Owner | null {
  try {
    return v.parse(OWNER, JSON.parse(text))
  } catch {
    return null
  }
}

/** True only when it is sure: the process was one of this machine, and is no more. */
function hasEnded({ pid, host, processStart }: Owner): boolean {
  if (host !== hostname()) return false
  try {
    process.kill(pid, 0)
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'ESRCH'
  }
  const start = startOf(pid)
  return start !== null && processStart !== null && start !== processStart
}

/** Field 22 of /proc/PID/stat (proc(5)): when the process began; null where there is no such file. */
function startOf(pid: number): string | null {
  try {
    const text = readFileSync(`/proc/${pid}/stat`, 'utf8')
    return text.slice(text.lastIndexOf(')') + 2).split(' ')[19] ?? null
  } catch {
    return null
  }
}

async function writeWhole(path: string, text: string): Promise<void> {
  const file = await open(path, 'wx')
  try {
    await file.writeFile(text)
  } finally {
    await file.close()
  }
}

function goneAsNull(error: NodeJS.ErrnoException): null {
  if (error.code === 'ENOENT') return null
  throw error
}

function existsAsFalse(error: NodeJS.ErrnoException): false {
  if (error.code === 'EEXIST') return false
  throw error
}

function foreignError(name: string): InputError {
  return new InputError(
    'unreadable',
    `cannot be written: ${name} beside it is no lock of everyrev`,
    'see what that file is, and move it away',
  )
}

function busyError(owner: Owner | null): InputError {
  const who = owner ? ` (process ${owner.pid} on ${owner.host})` : ''
  return new InputError('unreadable', `is being written by another everyrev${who}`, 'try again in a moment')
}
