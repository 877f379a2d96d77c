/**
 * Prints how hard and how lifelike the simulated clips are: `npx tsx scripts/simulate/check/main.ts [seeds] [recordings]`.
 * Writes no file. Real clips are read from `../shared/recordings` when they are there (ffmpeg decodes them).
 */

import { EASY_CONDITIONS, HARD_CONDITIONS, MORE_CONDITIONS, makeCondition, simulate } from '../index.js'
import { measureRealClips, measureSimulatedClips, REPEAT_BANDS, type Row } from './clips.js'
import { scoreNaive } from './naive.js'
import { quantile } from './statistics.js'

const seeds = Number(process.argv[2] ?? 4)
const folder = process.argv[3] ?? '../shared/recordings'

console.log(`Naive peak-height labeller with the true turns given, ${seeds} seeds (median over clips)`)
console.log('condition        right  balanced  fired-skipped dB')
for (const name of [...EASY_CONDITIONS, ...HARD_CONDITIONS, ...MORE_CONDITIONS]) {
  const scores = Array.from({ length: seeds }, (_, i) =>
    scoreNaive(simulate(makeCondition(name, i + 1), i + 1)),
  )
  const cells = [scores.map((s) => s.right), scores.map((s) => s.balanced), scores.map((s) => s.gapDb)]
  const [right, balanced, gap] = cells.map((list) => quantile(list, 0.5).toFixed(2))
  console.log(`${name.padEnd(16)} ${right!.padStart(5)} ${balanced!.padStart(8)} ${gap!.padStart(9)}`)
}

const simulated = measureSimulatedClips(
  [
    'quiet-steady',
    'quiet-mixed',
    'quiet-fast',
    'blips',
    'very-fast',
    'idle',
    'every-third',
    'every-fourth',
    'every-other',
  ],
  seeds,
)
const real = measureRealClips(folder)
if (real.length === 0) console.log(`\nNo real clips in ${folder}: their columns stay empty.`)

const FIGURES: [string, number, (row: Row) => number][] = [
  ['half orders, dB', 1, (r) => r.halfDb],
  ['third orders, dB', 1, (r) => r.thirdDb],
  ['quarter orders, dB', 1, (r) => r.fourthDb],
  ['lag 1', 2, (r) => r.lag[0]!],
  ['lag 2', 2, (r) => r.lag[1]!],
  ['lag 3', 2, (r) => r.lag[2]!],
  ['lag 4', 2, (r) => r.lag[3]!],
  ['leading share', 2, (r) => r.share],
  ['two kinds, dB', 1, (r) => r.gapDb],
  ['within a kind, dB', 1, (r) => r.scatterDb],
  ['crack of sharper kind', 1, (r) => r.sharpness],
  ['sharper by, dB', 1, (r) => r.sharperDb],
  ['peak agreement', 2, (r) => r.peakAgreement],
  ['order 1, dB', 1, (r) => r.firstOrderDb],
  ['repeats', 2, (r) => r.repeat],
  ...REPEAT_BANDS.map(
    ([low, high], k) =>
      [`repeats ${low}-${high} Hz`, 2, (r) => r.bandRepeat[k]!] as [string, number, (row: Row) => number],
  ),
]
for (const kind of ['clean', 'alternate', 'third', 'fourth', 'irregular', 'idle', 'coasting']) {
  const ofKind = [real, simulated].map((rows) => rows.filter((row) => row.kind === kind))
  console.log(
    `\n${kind}: ${ofKind[0]!.length} real windows, ${ofKind[1]!.length} simulated; 10 %, median, 90 %`,
  )
  for (const [title, digits, figure] of FIGURES) {
    const cells = ofKind.map((rows) =>
      [0.1, 0.5, 0.9].map((q) => quantile(rows.map(figure), q).toFixed(digits).padStart(7)).join(''),
    )
    console.log(`  ${title.padEnd(20)} real ${cells[0]}   simulated ${cells[1]}`)
  }
}
