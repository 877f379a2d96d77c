import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { afterAll, expect, test } from 'vitest'
import { runTasks } from './pool.js'

const folder = mkdtempSync(join(tmpdir(), 'everyrev-pool-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

test('a task that throws and one that its process dies over cost no other task', async () => {
  const file = join(folder, 'work.mjs')
  writeFileSync(
    file,
    `export const twice = (n) => {
      if (n === 2) throw new Error('two')
      if (n === 3) process.kill(process.pid, 'SIGKILL')
      return Float32Array.of(2 * n)
    }`,
  )
  const told: number[] = []
  const outcomes = await runTasks<number, Float32Array | string>(
    { file: pathToFileURL(file), name: 'twice', failed: (n, why) => `${n}: ${why.split('\n')[0]}` },
    [1, 2, 3, 4, 5],
    2,
    (_, done) => told.push(done),
  )
  expect(outcomes).toEqual([
    Float32Array.of(2),
    '2: Error: two',
    '3: Error: Worker exited unexpectedly',
    Float32Array.of(8),
    Float32Array.of(10),
  ])
  expect(told).toEqual([1, 2, 3, 4, 5])
})
