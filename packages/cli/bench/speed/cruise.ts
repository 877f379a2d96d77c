import { closeSync, openSync, writeSync } from 'node:fs'
import { wavHead } from '@everyrev/core'
import { createRandom, simulate } from '../../../../scripts/simulate/index.js'
import { makeWav } from '../../../../scripts/simulate/makeWav.js'
import { type Leg, recordCruise } from '../../../../scripts/simulate/story.js'

const RATE_HZ = 48_000
/** Longest sound made anew; longer files repeat it. Simulating takes a third of the time the sound lasts. */
const MADE_S = 60
/** Level of the second channel's own hiss: two microphones of one phone never hear quite the same. */
const HISS = 0.003

/**
 * Writes an engine at cruise as a 16-bit WAV file of 48 kHz, a second or two of every pattern after the other.
 *
 * @param lengthS beyond a minute the minute is repeated; at the joints the crank jumps, which costs no time
 */
export function writeCruise(path: string, lengthS: number, channels: 1 | 2): void {
  const made = Math.min(MADE_S, lengthS)
  const sound = simulate({ ...recordCruise('bench', made, 77, legs(made)), rateHz: RATE_HZ }, 1).samples
  const hiss = createRandom(1, 'bench hiss')
  const other = () => sound.map((x) => 0.7 * x + HISS * (2 * hiss() - 1))
  const wav = makeWav(channels === 1 ? [sound] : [sound, other()], { rateHz: RATE_HZ })
  const bytes = Math.round(lengthS * RATE_HZ) * 2 * channels
  const head = wavHead({ isFloat: false, channels, rateHz: RATE_HZ, sampleBytes: 2 }, bytes)
  const piece = wav.subarray(head.length)
  const file = openSync(path, 'w')
  writeSync(file, head)
  for (let left = bytes; left > 0; left -= piece.length)
    writeSync(file, piece.subarray(0, Math.min(left, piece.length)))
  closeSync(file)
}

function legs(lengthS: number): Leg[] {
  const states = ['alternate', 'clean', 'two-of-three', 'irregular'] as const
  return Array.from({ length: Math.ceil(lengthS / 1.5) }, (_, k) => [states[k % states.length]!, 1.5])
}
