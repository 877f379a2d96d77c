import type { Analysis } from '../types.js'
import { reason } from './reasonTexts.js'
import { type Envelope, envelopeOf, isSameSound } from './sameSound.js'
import { SIDES, type Sides } from './sides.js'
import type { Reason } from './types.js'

/** Clips that do not count as they are other clips again, by their places in the list given, from 0. */
export interface Repeats {
  readonly clips: Sides<ReadonlySet<number>>
  readonly reasons: readonly Reason[]
}

/**
 * Finds recordings that are given twice.
 *
 * A recording twice on one side counts once there. One that is on both sides says nothing of a change, and counts on neither.
 */
export function findRepeats(before: readonly Analysis[], after: readonly Analysis[]): Repeats {
  const sides: Sides<readonly Clip[]> = { before: before.map(toClip), after: after.map(toClip) }
  const clips = { before: new Set<number>(), after: new Set<number>() }
  const reasons: Reason[] = []
  for (const own of sides.before)
    for (const other of sides.after) {
      if (!isSame(own, other)) continue
      clips.before.add(own.place)
      clips.after.add(other.place)
      reasons.push(reason('on-both-sides', { before: own.place + 1, after: other.place + 1 }))
    }
  for (const side of SIDES)
    sides[side].forEach((own, i) => {
      if (clips[side].has(i)) return
      const first = sides[side].slice(0, i).find((other) => isSame(own, other))
      if (!first) return
      clips[side].add(i)
      reasons.push(reason('counted-once', { clip: i + 1, first: first.place + 1, side }))
    })
  return { clips, reasons }
}

interface Clip {
  readonly analysis: Analysis
  readonly place: number
  readonly envelope: Envelope
}

const toClip = (analysis: Analysis, place: number): Clip => ({
  analysis,
  place,
  envelope: envelopeOf(analysis),
})

/**
 * Are two clips the same recording, or cut from one, be it encoded anew, trimmed, turned up or made dull?
 *
 * @remarks Told from the samples where they are equal, else from how the loudness comes and goes in three seconds of running or more.
 * @example
 * const listen = (name) => analyze(toRecording(decodeWav(readFileSync(name))))
 * isSameRecording(listen('cruise-needle-clip-2.wav'), listen('cruise-needle-clip-2.wav')) // true
 * isSameRecording(listen('cruise-needle-clip-2.wav'), listen('cruise-needle-clip-3.wav')) // false
 */
export function isSameRecording(own: Analysis, other: Analysis): boolean {
  return isSame(toClip(own, 0), toClip(other, 0))
}

function isSame(own: Clip, other: Clip): boolean {
  return haveSameSamples(own.analysis, other.analysis) || isSameSound(own.envelope, other.envelope)
}

/** Loudness that does not come and go tells nothing, but samples do. */
function haveSameSamples(own: Analysis, other: Analysis): boolean {
  const [samples, others] = [own.recording.samples, other.recording.samples]
  const sound = samples.length === others.length && samples.some((value) => value !== 0)
  return own === other || (sound && samples.every((value, i) => value === others[i]))
}
