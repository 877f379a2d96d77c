import { existsSync, readFileSync } from 'node:fs'
import { loadEar, shippedEar } from '../../src/ear/model.js'
import type { Ear } from '../../src/ear/types.js'
import { FOLDS, foldOf, foldWeights } from './folds.js'
import type { Task } from './tasks.js'

const loaded = new Map<number, Ear>()

/** The ear that judges a clip: one that never heard its fold for recordings, the shipped one for all else. */
export function earFor({ source, name }: Pick<Task, 'source' | 'name'>): Ear {
  return source === 'recording' ? foldEar(foldOf(name)) : shippedEar()
}

/**
 * The ear that was trained without a fold; loaded once.
 *
 * @throws {Error} when its weights are not there
 */
function foldEar(fold: number): Ear {
  let ear = loaded.get(fold)
  if (!ear) {
    if (!existsSync(foldWeights(fold))) throw missingEar(fold)
    ear = loadEar(new Uint8Array(readFileSync(foldWeights(fold))))
    loaded.set(fold, ear)
  }
  return ear
}

/** Folds for which there is no ear that never heard them. */
export const missingFoldEars = (): number[] =>
  Array.from({ length: FOLDS }, (_, fold) => fold).filter((fold) => !existsSync(foldWeights(fold)))

/** Throws with one clear line when the ear of any fold is missing. */
export function requireFoldEars(): void {
  for (const fold of missingFoldEars()) throw missingEar(fold)
}

const missingEar = (fold: number): Error =>
  new Error(
    `no ear that never heard fold ${fold} of the recordings (${foldWeights(fold)}): train and export it (scripts/ear), ` +
      'or leave out the suites real and rough',
  )
