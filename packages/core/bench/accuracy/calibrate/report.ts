import { ENGINE_FROM, OPEN_FROM } from '../../../src/crank/constants.js'
import { CALIBRATION, LOGIT_DOUBT } from '../../../src/labels/constants.js'
import { mean, quantile } from '../../../src/math/stats.js'
import { BASE_SD, DOUBT_SD } from '../../../src/ratio/constants.js'
import { holds } from '../simulated.js'
import { outOf, percent, renderTable } from '../table.js'
import { AS_GIVEN, errorAfter, fitLine, type Line, type Turns } from './chances.js'
import type { HeardClip } from './hear.js'
import {
  type Fit,
  fitWidths,
  intervalOf,
  judgeWidths,
  type Share,
  straightShare,
  WANTED,
  type Widths,
} from './intervals.js'
import { engineCuts, fewestErrors, honestTwins, MOST_WRONG, twinCuts } from './thresholds.js'

/** Everything the clips say about the constants, with those to use. */
export function reportCalibration(clips: readonly HeardClip[], recorded: readonly Share[] = []): string {
  const engines = clips.filter(({ isEngine }) => isEngine)
  const turns = pooled(engines)
  const line = fitLine(turns)
  return [
    `${clips.length} clips, ${engines.length} with an engine, ears ${[...new Set(clips.map(({ ear }) => ear))].join(', ')}`,
    reportChances(turns, line),
    reportIntervals(engines, line, recorded),
    reportEngines(clips),
    reportTwins(engines),
  ].join('\n\n')
}

function pooled(clips: readonly HeardClip[]): Turns {
  return {
    fired: clips.flatMap(({ turns }) => Array.from(turns.fired)),
    burnt: clips.flatMap(({ turns }) => Array.from(turns.burnt)),
  }
}

function reportChances(turns: Turns, line: Line): string {
  const slope = CALIBRATION.slope * line.slope
  const shift = line.shift + line.slope * CALIBRATION.shift
  return [
    'Chances of turns (labels/constants.ts)',
    `calibration error ${percent(errorAfter(AS_GIVEN, turns))} % as they are, ${percent(errorAfter(line, turns))} % after the fit, ${turns.fired.length} turns`,
    `CALIBRATION = { shift: ${shift.toFixed(3)}, slope: ${slope.toFixed(3)} }, now { shift: ${CALIBRATION.shift}, slope: ${CALIBRATION.slope} } (LOGIT_DOUBT ${LOGIT_DOUBT} is not fitted here)`,
  ].join('\n')
}

function reportIntervals(engines: readonly HeardClip[], line: Line, recorded: readonly Share[]): string {
  const judged = engines.flatMap((clip) => (clip.share ? [{ clip, given: clip.share }] : []))
  const shares = judged.map(({ given }) => straightShare(given, line))
  const material = [shares, recorded]
  const fit = fitWidths(material, BASE_SD)
  const present = { base: BASE_SD, perDoubt: DOUBT_SD }
  const asGiven = judged.map(({ given }) => (holds(given, given.truth) ? 1 : 0))
  const errors = shares.map(({ value, truth }) => value - truth)
  const lines = [
    'Intervals (ratio/constants.ts)',
    `${judged.length} of ${engines.length} clips have one; ${percent(mean(asGiven))} % of those given hold`,
    `with honest chances and the constants as they are: ${fitInWords(judgeWidths(material, present))}`,
    `error of the share: mean ${percent(mean(errors))}, mean distance ${percent(mean(errors.map(Math.abs)))} points`,
  ]
  if (!fit) return [...lines, `no constants on the grid hold ${percent(WANTED)} %`].join('\n')
  const groups = groupsOf(
    judged.map(({ clip }) => clip.kind),
    shares,
  )
  if (recorded.length > 0) groups.push(['states of recordings', [...recorded]])
  const rows = groups.map(([name, group]) => groupRow(name, group, fit))
  const columns = ['clips', 'number', 'holds, %', 'width', 'error'].map((title) => ({ title }))
  return [
    ...lines,
    `DOUBT_SD = ${fit.perDoubt}: ${fitInWords(fit)}, simulator and recordings counting alike; now ${DOUBT_SD}`,
    renderTable(columns, rows),
  ].join('\n')
}

const fitInWords = ({ holds, width }: Fit): string =>
  `${percent(holds)} % hold, width ${percent(width)} points`

/** Clips by kind, and in quarters by their doubt. */
function groupsOf(kinds: readonly string[], shares: readonly Share[]): [string, Share[]][] {
  const byKind = [...new Set(kinds)].map((kind): [string, Share[]] => [
    kind,
    shares.filter((_, i) => kinds[i] === kind),
  ])
  const byDoubt = [...shares].sort((a, b) => a.doubt - b.doubt)
  const quarters = [0, 1, 2, 3].map((q): [string, Share[]] => {
    const part = byDoubt.slice((q * byDoubt.length) / 4, ((q + 1) * byDoubt.length) / 4)
    return [`doubt ${part[0]?.doubt.toFixed(3)} to ${part.at(-1)?.doubt.toFixed(3)}`, part]
  })
  return [...byKind, ...quarters]
}

function groupRow(name: string, shares: readonly Share[], widths: Widths): string[] {
  const intervals = shares.map((share) => intervalOf(share, widths))
  return [
    name,
    String(shares.length),
    percent(mean(intervals.map((interval, i) => (holds(interval, shares[i]!.truth) ? 1 : 0)))),
    percent(mean(intervals.map(({ low, high }) => high - low))),
    percent(mean(shares.map(({ value, truth }) => Math.abs(value - truth)))),
  ]
}

function reportEngines(clips: readonly HeardClip[]): string {
  const engines = clips.filter(({ isEngine }) => isEngine)
  const others = clips.filter(({ isEngine }) => !isEngine)
  const quantiles = (of: readonly HeardClip[]) =>
    [0, 0.05, 0.25, 0.5, 0.75, 0.95, 1]
      .map((q) =>
        quantile(
          of.map((c) => c.engineProbability),
          q,
        ).toFixed(3),
      )
      .join(' ')
  const rows = engineCuts(clips).map(({ from, lost, taken }) => [
    String(from),
    outOf(lost, engines.length),
    outOf(taken, others.length),
  ])
  return [
    'Chance of an engine (ENGINE_FROM of crank/constants.ts); quantiles 0 5 25 50 75 95 100 %',
    `engines: ${quantiles(engines)}`,
    `others:  ${quantiles(others)}`,
    renderTable([{ title: 'from' }, { title: 'engines lost' }, { title: 'others taken' }], rows),
    `ENGINE_FROM = ${fewestErrors(clips).from}: fewest errors of both kinds; now ${ENGINE_FROM}`,
  ].join('\n')
}

function reportTwins(engines: readonly HeardClip[]): string {
  const rows = twinCuts(engines).map((cut) =>
    [cut.from, cut.wrong, cut.wrongDeclared, cut.rightDeclared].map(String),
  )
  const columns = ['declared from', 'confidently wrong', 'wrong, declared', 'right, declared']
  const titles = columns.map((title) => ({ title }))
  const honest = honestTwins(engines)
  return [
    'Readings of the speed (OPEN_FROM of crank/constants.ts)',
    renderTable(titles, rows),
    honest
      ? `OPEN_FROM = ${honest.from}: confidently wrong in at most ${percent(MOST_WRONG)} % of clips; now ${OPEN_FROM}`
      : `no OPEN_FROM leaves at most ${percent(MOST_WRONG)} % confidently wrong; now ${OPEN_FROM}`,
  ].join('\n')
}
