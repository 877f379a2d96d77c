import { readdirSync, readFileSync } from 'node:fs'
import { decodeWav, toRecording } from '../../src/decode/index.js'
import type { Recording } from '../../src/decode/types.js'
import { type TurnTruth, turnTruth } from './truth.js'

const FOLDER = new URL('../../../../fixtures/', import.meta.url)
const END = '.truth.json'

interface FixtureTruth {
  readonly turnStartS: readonly number[]
  readonly turnEndS: readonly number[]
  readonly pulseS: readonly number[]
  readonly speedRpm: readonly number[]
  readonly burn: readonly number[]
  readonly label: readonly number[]
  readonly state: readonly string[]
}

/** Names of the clips in `fixtures/` whose truth is known. */
export const fixtureNames = (): string[] =>
  readdirSync(FOLDER)
    .filter((file) => file.endsWith(END))
    .map((file) => file.slice(0, -END.length))
    .sort()

/** A fixture with its truth; the truth has no turns where there is no engine. */
export function readFixture(name: string): Recording & { readonly truth: TurnTruth } {
  const recording = toRecording(decodeWav(readFileSync(new URL(`${name}.wav`, FOLDER))))
  const raw = JSON.parse(readFileSync(new URL(name + END, FOLDER), 'utf8')) as FixtureTruth
  const truth = turnTruth({
    turnStartS: Float64Array.from(raw.turnStartS),
    turnEndS: Float64Array.from(raw.turnEndS),
    pulseS: Float64Array.from(raw.pulseS),
    speedRpm: Float64Array.from(raw.speedRpm),
    burn: Float32Array.from(raw.burn),
    label: Uint8Array.from(raw.label),
    state: raw.state,
  })
  return { ...recording, truth }
}
