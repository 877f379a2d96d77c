import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { makeClips } from '../../bench/makeClips.js'
import { processTree } from '../../bench/processTree.js'
import { runProgram } from '../check/runProgram.js'
import { gradePlace, nextText, tableOf } from './gradeProgram.js'

const GOOD = 10
const BROKEN = 2

const place = gradePlace()
const { clips, grade, start } = place
let whole = ''
let wholeMs = 0
beforeAll(async () => {
  makeClips(clips, { good: GOOD, broken: BROKEN, lengthS: 4, hasFfmpeg: false })
  const before = performance.now()
  whole = tableOf(await grade(['-r', clips, '--no-cache'], 'none'))
  wholeMs = performance.now() - before
})
afterAll(place.remove)

const HAS_PROC = existsSync('/proc/self/task')

describe('everyrev grade, stopped', () => {
  it.skipIf(process.platform === 'win32')(
    'keeps and shows on Ctrl-C what is done, and goes on from there',
    async () => {
      const { child, outcome } = start(['-r', clips, '--json', '--jobs', '1'], 'stopped')
      await nextText(child.stdout)
      child.kill('SIGINT')
      const { code, stdout, stderr } = await outcome
      const done = stdout
        .trim()
        .split('\n')
        .map((line) => JSON.parse(line))
      expect(code).toBe(130)
      expect(done.length).toBeLessThan(GOOD + BROKEN)
      expect(stderr).toContain(
        `everyrev: stopped with ${done.length} of ${GOOD + BROKEN} files done; the next run goes on from there\n`,
      )
      const kept = place.kept('stopped')
      expect(kept).toBeGreaterThanOrEqual(done.filter((row) => !row.error).length)

      const next = await grade(['-r', clips], 'stopped')
      expect(next.stdout).toMatch(new RegExp(`\\b${kept}\\s+unchanged\\s+since`))
      expect(tableOf(next)).toBe(whole)
    },
  )

  it.skipIf(process.platform === 'win32')(
    'shows the table of what is done, and tells a request to end apart',
    async () => {
      const { child, outcome } = start(['-r', clips, '--jobs', '1', '--no-cache', '--no-progress'], 'none')
      const told = await nextText(child.stderr) // of the first file that cannot be read
      child.kill('SIGTERM')
      const { code, stdout } = await outcome
      expect(code).toBe(143)
      expect(told).toMatch(/ride-\d+\.\w+: /)
      expect(stdout).toMatch(/^skipped .*\n(.*\n)*-\s+unreadable/)
      expect(stdout.length).toBeLessThan(whole.length)
    },
  )

  it('comes to the same table after being killed again and again', async () => {
    for (let k = 0; k < 5; k++) {
      const { child, outcome } = start(['-r', clips], 'killed')
      const timer = setTimeout(() => child.kill('SIGKILL'), Math.random() * wholeMs * 0.6)
      await outcome
      clearTimeout(timer)
    }
    expect(tableOf(await grade(['-r', clips], 'killed'))).toBe(whole)
    expect(place.kept('killed')).toBe(GOOD)
  })

  it('leaves no process behind when killed', async (context) => {
    if (!HAS_PROC) return context.skip('there is no /proc to look for processes in')
    const { child, outcome } = start(['-r', clips, '--json', '--no-cache', '--jobs', '2'], 'none')
    await nextText(child.stdout)
    const started = processTree(child.pid!).slice(1)
    expect(started.length).toBeGreaterThan(0)
    child.kill('SIGKILL')
    await outcome
    const isThere = (pid: number) => existsSync(`/proc/${pid}`)
    for (let k = 0; k < 100 && started.some(isThere); k++) await wait(200)
    expect(started.filter(isThere)).toEqual([])
  })

  it('loses one clip, not the run, when the process that listens to it dies', async (context) => {
    if (!HAS_PROC) return context.skip('there is no /proc to find the process in')
    const folder = join(place.folder, 'three')
    makeClips(folder, { good: 3, broken: 0, lengthS: 25, hasFfmpeg: false })
    const { child, outcome } = start(['-r', folder, '--json', '--no-cache', '--jobs', '1'], 'none')
    await nextText(child.stdout)
    await wait(200) // into the second clip
    for (const pid of processTree(child.pid!).slice(1)) process.kill(pid, 'SIGKILL')
    const { code, stdout, stderr } = await outcome
    const rows = stdout
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line))
    expect(rows.map((row) => row.error?.message)).toEqual([
      undefined,
      expect.stringContaining('stopped half-way'),
      undefined,
    ])
    expect(code).toBe(3)
    expect(stderr).toMatch(/ride-2\.wav: .*memory.*--jobs 1/)
  })

  it('shows its answer also where the processes are slow to end, as on a busy machine', async () => {
    const deaf = 'if (process.env.TINYPOOL_WORKER_ID) process.on("SIGTERM", () => {})'
    const env = { NODE_OPTIONS: `--import "data:text/javascript,${encodeURIComponent(deaf)}"` }
    const slow = await runProgram(['grade', '-r', clips, '--no-cache'], { env })
    expect(tableOf(slow)).toBe(whole)
    expect(slow.code).toBe(3)
  })

  it('stops when nobody reads any more', async () => {
    const { child, outcome } = start(['-r', clips, '--json', '--jobs', '1'], 'unread')
    await nextText(child.stdout)
    child.stdout!.destroy()
    expect((await outcome).code).toBe(2) // its answer did not arrive
    expect(place.kept('unread')).toBeLessThan(GOOD)
  })
})
