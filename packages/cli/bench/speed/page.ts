/**
 * Measures how long the built page takes from the choice of a clip of 10 s to its figure on the screen:
 * `npx tsx packages/cli/bench/speed/page.ts --help`, on an idle machine.
 *
 * Prints one Markdown table: the first clip after the page was opened, and the slowest of those after it, in Chromium at full
 * speed and slowed four and six times, which stands in for phones of some years ago. Wanted: 4 s for the
 * first answer, 2 s for later ones.
 */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { loadavg, tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { Command } from 'commander'
import { type Browser, chromium } from 'playwright-core'
import { numberOption } from '../numberOption.js'
import { processTree } from '../processTree.js'
import { writeCruise } from './cruise.js'

const PAGE = pathToFileURL(fileURLToPath(new URL('../../dist/everyrev.html', import.meta.url))).href
const CLIP_S = 10
const SLOWED = [1, 4, 6]
/** One turn of running and standing still, ms: far shorter than an answer takes. */
const CYCLE_MS = 60
/** A page that has not answered by then never will. */
const MOST_MS = 120_000

const { clips } = new Command('npx tsx packages/cli/bench/speed/page.ts')
  .description('Measures how long the built page takes from the choice of a clip to its figure.')
  .option('--clips <number>', 'clips one after the other', numberOption, 4)
  .parse()
  .opts<{ clips: number }>()
const place = mkdtempSync(join(tmpdir(), 'everyrev-bench-'))
const load = loadavg()[0]!

try {
  const clip = join(place, 'cruise.wav')
  writeCruise(clip, CLIP_S, 1)
  const server = await chromium.launchServer({ executablePath: '/usr/bin/chromium', args: ['--no-sandbox'] })
  const browser = await chromium.connect(server.wsEndpoint())
  console.log('| slowed | first answer, s | slowest later one, s |\n|---:|---:|---:|')
  for (const rate of SLOWED) {
    const [first, ...later] = await answersS(browser, server.process().pid!, clip, clips, rate)
    console.log(`| ${rate}× | ${first!.toFixed(1)} | ${Math.max(...later).toFixed(1)} |`)
  }
  await server.close()
  console.log(`\nLoad of the machine before: ${load.toFixed(1)}.`)
} finally {
  rmSync(place, { recursive: true })
}

/** Seconds from the choice of a clip to its figure, one clip after the other. */
async function answersS(
  browser: Browser,
  browserPid: number,
  clip: string,
  count: number,
  rate: number,
): Promise<number[]> {
  const page = await browser.newPage({ viewport: { width: 390, height: 844 } })
  await page.goto(PAGE)
  await page.getByRole('button', { name: 'Record' }).waitFor()
  const letGo = slowPages(browserPid, rate)
  const took: number[] = []
  for (let k = 1; k <= count; k++) {
    const startMs = performance.now()
    await page.setInputFiles('.bar input[type=file]', clip)
    await page.waitForFunction((n) => document.querySelectorAll('.clip .share.heard').length === n, k, {
      timeout: MOST_MS,
    })
    took.push((performance.now() - startMs) / 1000)
  }
  letGo()
  await page.close()
  return took
}

/**
 * Lets the browser's pages run for one part in `rate` of the time, their workers with them, which the browser's own brake
 * leaves alone: their processes are stopped and let go in turn.
 *
 * @returns what lets them run again
 */
function slowPages(browserPid: number, rate: number): () => void {
  const pages = () =>
    processTree(browserPid).filter((pid) => {
      try {
        return readFileSync(`/proc/${pid}/cmdline`, 'utf8').includes('--type=renderer')
      } catch {
        return false
      }
    })
  const all = (signal: 'SIGSTOP' | 'SIGCONT') => {
    for (const pid of pages()) process.kill(pid, signal)
  }
  if (rate === 1) return () => {}
  let timer = setTimeout(stop, 0)
  function stop() {
    all('SIGSTOP')
    timer = setTimeout(go, CYCLE_MS * (1 - 1 / rate))
  }
  function go() {
    all('SIGCONT')
    timer = setTimeout(stop, CYCLE_MS / rate)
  }
  return () => {
    clearTimeout(timer)
    all('SIGCONT')
  }
}
