import { existsSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import type { Recording } from '@everyrev/core'
import decode from 'audio-decode'

/** Labelled real recordings, kept beside the repository because of their size and licence. */
const FOLDER = fileURLToPath(new URL('../../../../../shared/recordings/', import.meta.url))

/** A labelled span: what one judge read from pictures and numbers; no tachometer. */
export interface LabelSpan {
  readonly startS: number
  readonly endS: number
  readonly kind: 'engine' | 'no-engine' | 'unclear'
  readonly crankHz?: readonly (readonly [number, number])[]
  readonly firing: 'clean' | 'alternate' | 'mixed' | 'unclear'
  readonly firingConfidence: 'sure' | 'likely' | 'unclear'
  readonly pattern?: string
  readonly regime?: string
}

/** True when the recordings are there; says so once when not. */
export function recordingsPresent(): boolean {
  const present = existsSync(`${FOLDER}labels.json`)
  if (!present) console.warn(`skipped: no recordings at ${FOLDER}`)
  return present
}

/** Labels of every engine clip by its name, `engine/…ogg`. */
export function readLabels(): Record<string, LabelSpan[]> {
  return JSON.parse(readFileSync(`${FOLDER}labels.json`, 'utf8'))
}

/** Names of the clips without an engine, `other/…ogg`. */
export function otherClips(): string[] {
  const lines = readFileSync(`${FOLDER}ATTRIBUTION.csv`, 'utf8').split('\n')
  return lines.map((line) => line.split(',')[0]!).filter((name) => name.startsWith('other/'))
}

/** Decodes a clip to its first channel. */
export async function readClip(name: string): Promise<Recording> {
  const { channelData, sampleRate } = await decode(readFileSync(FOLDER + name))
  return { samples: channelData[0]!, rateHz: sampleRate, notes: [] }
}
