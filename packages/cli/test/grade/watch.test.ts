import {
  appendFileSync,
  copyFileSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
} from 'node:fs'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { makeClips } from '../../bench/makeClips.js'
import { gradePlace } from './gradeProgram.js'

const place = gradePlace()
const { folder, clips } = place
const [old, grown, moved] = ['old.wav', 'grown.wav', 'moved.wav'].map((name) => join(clips, name))
const made = join(folder, 'made')

beforeAll(() => {
  makeClips(made, { good: 3, broken: 0, lengthS: 4, hasFfmpeg: false })
  mkdirSync(clips)
  copyFileSync(wav(0), old!)
})
afterAll(place.remove)

function wav(k: number): string {
  return join(made, `needle-${k + 1}`, readdirSync(join(made, `needle-${k + 1}`))[0]!)
}

it.skipIf(process.platform === 'win32')(
  'grades clips as they arrive, once they have stopped growing',
  async () => {
    const csv = join(folder, 'grades.csv')
    const { child, outcome } = place.start(['--watch', clips, '--csv', csv], 'watch')
    let said = ''
    child.stdout!.on('data', (text) => {
      said += text
    })
    const until = async (text: string) => {
      for (let k = 0; k < 300 && !said.includes(text); k++) await wait(100)
      expect(said).toContain(text)
    }
    await until(old!)
    expect(said).not.toContain(grown)

    // A recorder that writes for four seconds, every half second.
    const bytes = readFileSync(wav(1))
    for (let k = 0; k < 8; k++) {
      appendFileSync(grown!, bytes.subarray((k * bytes.length) / 8, ((k + 1) * bytes.length) / 8))
      await wait(500)
      expect(said).not.toContain(grown)
    }
    await until(grown!)
    expect(said.split(grown!).length - 1).toBe(1)

    renameSync(wav(2), moved!)
    await until(moved!)
    // The file is written after the row is shown.
    const written = () => readFileSync(csv, 'utf8')
    for (let k = 0; k < 100 && !written().includes(moved!); k++) await wait(100)
    expect(written()).toContain(moved)
    rmSync(old!)
    for (let k = 0; k < 100 && written().includes(old!); k++) await wait(100)

    child.kill('SIGINT')
    const { code, stdout, stderr } = await outcome
    const table = stdout.slice(stdout.indexOf('skipped (95 %)'))
    expect([table.includes(grown!), table.includes(moved!), table.includes(old!)]).toEqual([
      true,
      true,
      false,
    ])
    // The whole file was heard, not its beginning: the same as when it is graded by itself.
    const rowOf = (text: string) =>
      text
        .split('\n')
        .find((line) => line.endsWith(grown!))!
        .replace(/ +/g, ' ')
    expect(rowOf(table)).toBe(rowOf((await place.grade([grown!, '--no-cache'], 'none')).stdout))
    expect(code).toBe(0)
    expect(stderr).toMatch(
      /^everyrev: watching; Ctrl-C ends it and shows the table\neveryrev: wrote \S+grades\.csv \(1 kB\)\n$/,
    )
  },
)
