/**
 * Splits the labelled recordings into four folds: `tsx packages/core/bench/accuracy/folds/split.ts`, in a checkout that
 * has the recordings beside it, writes `folds.json`. Deterministic; training and bench both read that file.
 *
 * Clips of one recording stay together (the middle number of a name), and so do recordings whose numbers are
 * neighbours, as they were made on one day with what is likely the same engine. Of all ways to share the engines out
 * that have five to seven clips a fold, the one with the most even labels is taken: clips, sure time, firm states
 * of every kind, likely states, overruns. The other sounds, kind after kind, go each to the fold with the fewest of its
 * kind, then with the fewest clips.
 */
import { readFileSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { FOLDS, recordingNumber } from '../folds.js'
import { labelledTurns, type RealSpan } from '../labelled.js'
import { readLabels } from '../recordings.js'
import { SHORTEST_TURNS, STATE_LIMITS, stateKind } from '../states.js'

/** Numbers this close are one day's work. */
const NEIGHBOURS = 2
const CLIPS = { least: 5, most: 7 }

interface Group {
  readonly numbers: readonly string[]
  /** What is to be shared out evenly; the first is the number of clips. */
  readonly amounts: readonly number[]
}

const labels = Object.entries(readLabels())
const others = otherKinds()
const groups = groupNeighbours([...new Set(labels.map(([name]) => recordingNumber(name)))]).map(
  (numbers): Group => ({ numbers, amounts: amountsOf(numbers) }),
)
const folds = shareOut(groups).map((list) => list.flatMap(({ numbers }) => numbers))
addOthers(folds)
const sorted = folds.map((list) => list.sort((a, b) => Number(a) - Number(b)))
const file = fileURLToPath(new URL('../folds.json', import.meta.url))
const lines = sorted.map((list, k) => `  "${k}": [${list.map((number) => `"${number}"`).join(', ')}]`)
writeFileSync(file, `{\n${lines.join(',\n')}\n}\n`)

/** Clips without an engine with the kind of sound each is. */
function otherKinds(): { name: string; kind: string }[] {
  const url = new URL('../../../../../../shared/recordings/ATTRIBUTION.csv', import.meta.url)
  const rows = readFileSync(url, 'utf8')
    .split('\n')
    .map((line) => line.split(','))
  return rows.flatMap(([name = '', kind = '']) => (name.startsWith('other/') ? [{ name, kind }] : []))
}

function groupNeighbours(numbers: readonly string[]): string[][] {
  const rising = [...numbers].sort((a, b) => Number(a) - Number(b))
  const grouped: string[][] = []
  for (const number of rising) {
    const last = grouped.at(-1)
    if (last && Number(number) - Number(last.at(-1)) <= NEIGHBOURS) last.push(number)
    else grouped.push([number])
  }
  return grouped
}

function amountsOf(numbers: readonly string[]): number[] {
  const clips = labels.filter(([name]) => numbers.includes(recordingNumber(name)))
  const spans: RealSpan[] = clips.flatMap(([, spans]) => spans)
  const sure = spans.filter(({ speedConfidence }) => speedConfidence === 'sure')
  const sureS = sure.reduce((sum, { startS, endS }) => sum + endS - startS, 0)
  const states = spans.filter((span) => span.crankHz && labelledTurns(span) >= SHORTEST_TURNS)
  const firm = states.filter(({ firingConfidence }) => firingConfidence === 'sure')
  const kinds = Object.keys(STATE_LIMITS).map(
    (kind) => firm.filter((span) => stateKind(span) === kind).length,
  )
  const likely = states.filter(({ firingConfidence }) => firingConfidence === 'likely').length
  const overruns = states.filter(({ regime }) => regime === 'overrun').length
  return [clips.length, sureS, ...kinds, likely, overruns]
}

/** All ways to share out, the first group always to the first fold; the most even one. */
function shareOut(all: readonly Group[]): Group[][] {
  let best = { unevenness: Number.POSITIVE_INFINITY, way: 0 }
  for (let way = 0; way < FOLDS ** (all.length - 1); way++) {
    const shared = foldsOf(all, way)
    const sums = shared.map((list) => sumOf(list, all[0]!.amounts.length))
    if (sums.some(([clips]) => clips! < CLIPS.least || clips! > CLIPS.most)) continue
    const unevenness = unevennessOf(sums)
    if (unevenness < best.unevenness) best = { unevenness, way }
  }
  return foldsOf(all, best.way)
}

function foldsOf(all: readonly Group[], way: number): Group[][] {
  const shared: Group[][] = Array.from({ length: FOLDS }, () => [])
  all.forEach((group, i) => {
    shared[i === 0 ? 0 : Math.floor(way / FOLDS ** (i - 1)) % FOLDS]!.push(group)
  })
  return shared
}

function sumOf(list: readonly Group[], length: number): number[] {
  return Array.from({ length }, (_, a) => list.reduce((sum, { amounts }) => sum + amounts[a]!, 0))
}

/** Squared distance of every amount from an even share, in shares. */
function unevennessOf(sums: readonly (readonly number[])[]): number {
  return sums[0]!.reduce((total, _, a) => {
    const even = sums.reduce((sum, fold) => sum + fold[a]!, 0) / FOLDS
    return total + sums.reduce((sum, fold) => sum + (fold[a]! / even - 1) ** 2, 0)
  }, 0)
}

function addOthers(to: string[][]): void {
  const placed: { fold: number; kind: string }[] = []
  const engines = groupNeighbours([
    ...new Set([...to.flat(), ...others.map(({ name }) => recordingNumber(name))]),
  ])
  for (const { name, kind } of [...others].sort((a, b) => (a.kind + a.name < b.kind + b.name ? -1 : 1))) {
    const number = recordingNumber(name)
    const kin = engines.find((group) => group.includes(number))!
    const bound = to.findIndex((fold) => kin.some((relative) => fold.includes(relative)))
    const count = (fold: number, only?: string) =>
      placed.filter((p) => p.fold === fold && (!only || p.kind === only)).length
    const byNeed = to
      .map((_, k) => k)
      .sort((a, b) => count(a, kind) - count(b, kind) || count(a) - count(b) || a - b)
    const fold = bound >= 0 ? bound : byNeed[0]!
    placed.push({ fold, kind })
    if (!to[fold]!.includes(number)) to[fold]!.push(number)
  }
}
