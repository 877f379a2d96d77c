import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { makeWav } from '../../../scripts/simulate/makeWav.js'
import { countSteps, type Ended, startWith } from './run.js'

const OLD = '\ufeffclip,group,grade,sure,why\nlast,season,,no,\n'

/**
 * Kills `grade` and fills its disk at every step of its cache and its table, one after the other, and gives what went wrong.
 *
 * @param every only each so many-th step
 */
export async function gradeFaults(folder: string, every = 1): Promise<{ runs: number; wrong: string[] }> {
  const [clips, work] = [join(folder, 'clips'), join(folder, 'work')]
  const csv = join(work, 'season.csv')
  mkdirSync(clips, { recursive: true })
  const sound = Float32Array.from({ length: 17_600 }, (_, i) => Math.sin(i / 20))
  for (const [k, gain] of [0.9, 0.5].entries())
    writeFileSync(join(clips, `ride-${k}.wav`), makeWav([sound.map((x) => gain * x)], { rateHz: 16_000 }))
  const args = ['grade', clips, '--csv', csv, '--jobs', '1', '--no-progress']
  const env = { XDG_CACHE_HOME: join(work, 'cache') }
  const fresh = () => {
    rmSync(work, { recursive: true, force: true })
    mkdirSync(work, { recursive: true })
    writeFileSync(csv, OLD)
  }
  fresh()
  const whole = await startWith({ kind: 'count', within: '/nowhere' }, args, env).ended
  const table = tableOf(whole)
  const rows = readFileSync(csv, 'utf8')
  fresh()
  const steps = await countSteps(work, args, env, whole.code)
  const wrong: string[] = []
  let runs = 0
  for (const kind of ['kill', 'half', 'full'] as const)
    for (let at = 1; at <= steps; at += every) {
      runs++
      fresh()
      const end = await startWith({ kind, at, within: work }, args, env).ended
      const note = (problem: string) => wrong.push(`grade, ${kind} at step ${at} of ${steps}: ${problem}`)
      const kept = existsSync(csv) ? readFileSync(csv, 'utf8') : '(none)'
      if (kept !== OLD && kept !== rows) note(`the table is ${JSON.stringify(kept)}`)
      if (kind === 'full' && tableOf(end) !== table) note(`the answer is missing: ${end.stdout}`)
      if (kind === 'full' && ![2, whole.code].includes(end.code)) note(`it ends with ${end.code}`)
      if (kind === 'full' && (end.code === 2) !== (kept === OLD))
        note(`${end.code}, and the table is ${kept}`)
      const next = await startWith({ kind: 'count', within: '/nowhere' }, args, env).ended
      if (tableOf(next) !== table || next.code !== whole.code)
        note(`the next run says ${next.stdout}${next.stderr}`)
      if (readFileSync(csv, 'utf8') !== rows) note('the next run writes another table')
    }
  return { runs, wrong }
}

/** What does not depend on the cache. */
function tableOf({ stdout }: Ended): string {
  return stdout.split('\n\n')[0]!
}
