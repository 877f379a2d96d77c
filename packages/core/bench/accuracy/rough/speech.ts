import { join } from 'node:path'
import { makeSpeech } from '../negatives/speech.js'
import type { Random } from '../sound/random.js'
import { fromFile } from './codecs.js'
import { findTools, inTemporaryFolder, runTool } from './tools.js'

const VOICES = ['en-us', 'en-gb+f3', 'de', 'de+f2', 'fr', 'it+m4', 'es+f4'] as const
const SENTENCES = [
  'The carrots go to the corner shop, and the cabbage stays on the bicycle until noon.',
  'Mind the step, please. Could you hand me the crate with the tomatoes?',
  'It pulled well up the hill today, but on the flat it stutters a little.',
  'Two bunches of leeks, a sack of potatoes, and some parsley if you have any left.',
  'Wait a moment, I will write that down: half past eight, at the back door.',
] as const

/** Somebody talking without a pause, by a speaking program where there is one; else made. Any level. */
export function speak(random: Random, durationS: number, rateHz: number): Float32Array {
  if (!findTools().speaker) return makeSpeech(random, durationS, rateHz)
  const said = Array.from({ length: 2 }, () => random.pick(SENTENCES)).join(' ')
  const voice = [
    '-v',
    random.pick(VOICES),
    '-s',
    String(random.integer(140, 190)),
    '-p',
    String(random.integer(30, 70)),
  ]
  const spoken = inTemporaryFolder((folder) => {
    const file = join(folder, 'speech.wav')
    runTool('espeak-ng', [...voice, '-w', file, said])
    return fromFile(file, rateHz).samples
  })
  return Float32Array.from({ length: Math.round(durationS * rateHz) }, (_, i) => spoken[i % spoken.length]!)
}
