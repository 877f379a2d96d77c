import { execFileSync } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { bandLimit, lowpass } from '../filters.js'
import { type ConditionName, makeCondition, simulate } from '../index.js'
import { measureWindow, type WindowFigures } from './evidence.js'
import { WINDOW_TURNS } from './window.js'

/** Bands whose repeating share is printed, Hz. */
export const REPEAT_BANDS = [
  [30, 250],
  [250, 500],
  [500, 1000],
  [1000, 2000],
  [2000, 4000],
] as const

export interface Row extends WindowFigures {
  /** Way of firing; patterns that skip one turn and those that fire one turn of a cycle count together. */
  readonly kind: string
}

interface Span {
  readonly startS: number
  readonly endS: number
  readonly kind: string
  readonly firing: string
  readonly pattern?: string
  readonly regime?: string
  readonly crankHz?: readonly (readonly [number, number])[]
}

/** Windows of the labelled real clips; empty when the folder is not there. */
export function measureRealClips(folder: string): Row[] {
  if (!existsSync(`${folder}/labels.json`)) return []
  const labels: Record<string, Span[]> = JSON.parse(readFileSync(`${folder}/labels.json`, 'utf8'))
  return Object.entries(labels).flatMap(([file, spans]) => {
    const usable = spans.filter((s) => s.kind === 'engine' && s.firing !== 'unclear' && s.crankHz)
    if (usable.length === 0) return []
    const measure = measurer(decode(`${folder}/${file}`), DECODED_HZ)
    return usable.flatMap((span) =>
      walk(span.startS, span.endS, kindOf(span), speedAlong(span.crankHz!), measure),
    )
  })
}

/** Windows of simulated clips, inside stretches of one state. */
export function measureSimulatedClips(names: readonly ConditionName[], seeds: number): Row[] {
  return names.flatMap((name) =>
    Array.from({ length: seeds }, (_, i) => i + 1).flatMap((seed) => {
      const { samples, rateHz, truth } = simulate(makeCondition(name, seed), seed)
      const measure = measurer(samples, rateHz)
      const { turnStartS, speedRpm, state } = truth
      const speed = (timeS: number) => localSpeed(turnStartS, speedRpm, timeS)
      const rows: Row[] = []
      for (let from = 0, i = 1; i <= state.length; i++) {
        if (i < state.length && state[i] === state[from]) continue
        // Ten turns after a change belong to the passage from one state to the next.
        const first = turnStartS[Math.min(from + 10, state.length - 1)]!
        rows.push(...walk(first, truth.turnEndS[i - 1]!, KINDS[state[from]!] ?? state[from]!, speed, measure))
        from = i
      }
      return rows
    }),
  )
}

const DECODED_HZ = 44100

const KINDS: Record<string, string> = { 'two-of-three': 'third', 'three-of-four': 'fourth' }

type Measure = (startS: number, speedHz: number, slope: number) => WindowFigures | null

function measurer(samples: Float32Array, rateHz: number): Measure {
  const wave = bandLimit(samples.slice(), rateHz, 30, 4000)
  const bands = REPEAT_BANDS.map(([low, high]) => bandLimit(samples.slice(), rateHz, low, high))
  const crack = lowpass(bandLimit(samples.slice(), rateHz, 1000, 8000).map(Math.abs), rateHz, 700)
  const clip = { rateHz, wave, bands, crack }
  return (startS, speedHz, slope) => measureWindow(clip, { startS, speedHz, slope })
}

function walk(
  startS: number,
  endS: number,
  kind: string,
  speed: (timeS: number) => number,
  measure: Measure,
): Row[] {
  const rows: Row[] = []
  let timeS = startS
  while (true) {
    const lengthS = WINDOW_TURNS / speed(timeS)
    if (!(timeS + lengthS <= endS + 0.02)) return rows
    const slope = (speed(timeS + 0.9 * lengthS) - speed(timeS + 0.1 * lengthS)) / (0.8 * lengthS)
    const figures = measure(timeS, speed(timeS + lengthS / 2), slope)
    if (figures) rows.push({ ...figures, kind })
    timeS += lengthS / 2
  }
}

function decode(path: string): Float32Array {
  const args = ['-v', 'error', '-i', path, '-f', 'f32le', '-ac', '1', '-ar', String(DECODED_HZ), '-']
  const bytes = execFileSync('ffmpeg', args, { maxBuffer: 1e9 })
  return new Float32Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength))
}

function kindOf({ firing, pattern, regime }: Span): string {
  if (firing !== 'mixed') return firing
  if (regime?.includes('idle')) return 'idle'
  return pattern === 'period-3' ? 'third' : pattern === 'period-4' ? 'fourth' : 'irregular'
}

function speedAlong(knots: readonly (readonly [number, number])[]): (timeS: number) => number {
  return (timeS) => {
    let i = 0
    while (i + 2 < knots.length && knots[i + 1]![0] <= timeS) i++
    const [time0, hz0] = knots[i]!
    const [time1, hz1] = knots[i + 1] ?? [time0 + 1, hz0]
    return hz0 + ((hz1 - hz0) * (timeS - time0)) / (time1 - time0)
  }
}

/** Mean speed over the twelve turns around a moment, turns a second. */
function localSpeed(startS: Float64Array, speedRpm: Float64Array, timeS: number): number {
  let i = 0
  let end = startS.length
  while (i < end) {
    const middle = (i + end) >> 1
    if (startS[middle]! < timeS) i = middle + 1
    else end = middle
  }
  const near = speedRpm.subarray(Math.max(0, i - 6), i + 6)
  return near.reduce((sum, v) => sum + v, 0) / near.length / 60
}
