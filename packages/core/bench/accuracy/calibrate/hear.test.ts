import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { makeWav } from '../../../../../scripts/simulate/makeWav.js'
import { makeEar } from '../../../test/makeEar.js'
import { hearClip } from './hear.js'

const TURN_S = 1 / 80
const TURNS = 400
/** Every other turn fires, the last hundred burn in part, the first twenty coast. */
const burn = Array.from({ length: TURNS }, (_, i) => (i >= 300 ? 0.5 : i % 2 === 0 ? 1 : 0))
const startS = burn.map((_, i) => i * TURN_S)
const truth = {
  kind: 'engine',
  turnStartS: startS,
  turnEndS: startS.map((s) => s + TURN_S),
  pulseS: startS,
  speedRpm: burn.map(() => 4800),
  burn,
  coasting: burn.map((_, i) => (i < 20 ? 1 : 0)),
}
const ear = makeEar({
  durationS: TURNS * TURN_S,
  speedHz: () => 80,
  fires: (turn) => turn % 2 === 0,
  coasting: (timeS) => timeS < 20 * TURN_S,
})
let folder = ''

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'everyrev-calibrate-'))
  const hum = Float32Array.from({ length: 16000 * TURNS * TURN_S }, (_, i) => 0.1 * Math.sin(i / 5))
  for (const [name, told] of [
    ['engine', truth],
    [
      'none',
      {
        ...truth,
        kind: 'none',
        turnStartS: [],
        turnEndS: [],
        pulseS: [],
        speedRpm: [],
        burn: [],
        coasting: [],
      },
    ],
  ] as const) {
    writeFileSync(join(folder, `${name}.wav`), makeWav([hum], { rateHz: 16000 }))
    writeFileSync(join(folder, `${name}.truth.json`), JSON.stringify(told))
  }
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

it('brings together what was heard and what is true', () => {
  const { turns, share, speed, ...clip } = hearClip(join(folder, 'engine'), ear)
  expect(clip).toMatchObject({ kind: 'engine', ear: 'made-up', isEngine: true, measured: true })
  expect(speed).toMatchObject({ reading: 'right' })
  // Coasting turns are left out; a turn or two at either end and at their border may be missing.
  expect(turns.burnt.length).toBeGreaterThan(TURNS - 26)
  expect(turns.burnt.length).toBeLessThanOrEqual(TURNS - 20)
  const whole = Array.from(turns.burnt.subarray(0, 250))
  expect(whole.map((share, i) => share > 0.5 === turns.fired[i]! > 0.5)).not.toContain(false)
  expect(Array.from(turns.burnt.subarray(-50)).every((share) => share === 0.5)).toBe(true)
  expect(share!.truth).toBeCloseTo(0.5, 2)
  expect(share!.fired.length + share!.cannotTell).toBeGreaterThan(TURNS - 40)
  expect(share!.low).toBeLessThan(0.5)
  expect(share!.high).toBeGreaterThan(0.5)
  expect(share!.otherFactor).toBeNull()
})

it('has neither share nor turns where there is no engine', () => {
  expect(hearClip(join(folder, 'none'), ear)).toMatchObject({ isEngine: false, share: null, speed: null })
})
