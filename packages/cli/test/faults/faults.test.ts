import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { gradeFaults } from '../../faults/grade.js'
import { logFaults } from '../../faults/log.js'
import { writersAtOnce } from '../../faults/writers.js'

const folder = mkdtempSync(join(tmpdir(), 'everyrev-faults-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

describe.runIf(process.platform === 'linux')('a slice of `npm run faults`', () => {
  it('the log: killed, stopped and out of room at some of its steps', async () => {
    const { runs, wrong } = await logFaults(join(folder, 'log'), 13)
    expect(wrong).toEqual([])
    expect(runs).toBeGreaterThan(8)
  })

  it('cache and table of grade: killed and out of room at some of their steps', async () => {
    const { runs, wrong } = await gradeFaults(join(folder, 'grade'), 7)
    expect(wrong).toEqual([])
    expect(runs).toBeGreaterThan(3)
  })

  it('five writers at once, some asleep for a minute by their own clock', async () => {
    const { acknowledged, wrong } = await writersAtOnce(join(folder, 'writers'), 5, 7)
    expect(wrong).toBeNull()
    expect(acknowledged).toBeGreaterThan(12)
  })
})
