import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'

/** Number of folds. */
export const FOLDS = 4

const file = (name: string): string => fileURLToPath(new URL(name, import.meta.url))

/** The recording a clip was cut from: the middle number of its name. */
export function recordingNumber(name: string): string {
  const number = /^(?:engine|other)\/\d+-(\d+)-/.exec(name)?.[1]
  if (!number) throw new Error(`${name} is not a labelled recording`)
  return number
}

/** Numbers of recordings by fold. */
export function readFolds(): Record<string, readonly string[]> {
  return JSON.parse(readFileSync(file('folds.json'), 'utf8'))
}

/** The fold a clip belongs to, 0 to {@link FOLDS} - 1. */
export function foldOf(name: string, folds = readFolds()): number {
  const number = recordingNumber(name)
  const found = Object.keys(folds).find((fold) => folds[fold]!.includes(number))
  if (found === undefined) throw new Error(`${name} is in no fold; run folds/split.ts`)
  return Number(found)
}

/** Weights of the model that never heard a fold. */
export const foldWeights = (fold: number): string => file(`folds/fold${fold}.bin`)
