import { posix } from 'node:path'
import { type PooledRatio, pooledRatio } from '@everyrev/core'
import { withoutCopies } from './copies.js'
import { byName } from './order.js'
import { type GradeRow, isMeasured } from './row.js'

/** Clips that belong together, and what they say together. */
export interface Group {
  readonly name: string
  /** Files in it, read or not. */
  readonly files: number
  /** Files of them that are another one again, and so do not count. */
  readonly copies: number
  /**
   * Skipped turns in steady running over all clips that have a figure, unsure ones too: leaving them out would tilt it.
   * Copies of one recording count once: told three times, it says no more of the next ride.
   */
  readonly pooled: PooledRatio
  /** Of the clips that got a class, copies left out. */
  readonly best: GradeRow | null
  readonly worst: GradeRow | null
}

/** Names the group of a clip. */
export type GroupBy = (file: string) => string

/** Group of the files whose name does not fit the pattern. */
export const OTHERS = '(others)'

/**
 * Reads `folder`, or a regular expression for the name of the file: its first bracket names the group, or all of it where
 * it has none.
 *
 * @throws {SyntaxError} when it is no regular expression
 * @example parseGroupBy('needle-(\\w+)')('spring/needle-clip2 hill.m4a') // 'clip2'
 */
export function parseGroupBy(text: string): GroupBy {
  if (text === 'folder') return (file) => posix.dirname(slashed(file))
  const pattern = new RegExp(text, 'u')
  return (file) => {
    const match = pattern.exec(posix.basename(slashed(file)))
    return match?.[1] ?? match?.[0] ?? OTHERS
  }
}

/** The groups of these rows, the one that skips most first; those without a figure last, by name. */
export function groupRows(rows: Iterable<GradeRow>): Group[] {
  const byGroup = new Map<string, GradeRow[]>()
  for (const row of rows) {
    const name = row.group ?? OTHERS
    byGroup.set(name, [...(byGroup.get(name) ?? []), row])
  }
  const groups = Array.from(byGroup, ([name, members]) => groupOf(name, members))
  return groups.sort((a, b) => (b.pooled.value ?? -1) - (a.pooled.value ?? -1) || byName(a.name, b.name))
}

function groupOf(name: string, rows: readonly GradeRow[]): Group {
  const clips = withoutCopies(rows)
  const graded = clips
    .filter((row) => isMeasured(row) && row.grade !== 'unsure')
    .sort((a, b) => a.skipped.value! - b.skipped.value! || byName(a.file, b.file))
  return {
    name,
    files: rows.length,
    copies: rows.length - clips.length,
    pooled: pooledRatio(clips.map((row) => row.skipped)),
    best: graded[0] ?? null,
    worst: graded.at(-1) ?? null,
  }
}

function slashed(file: string): string {
  return process.platform === 'win32' ? file.replaceAll('\\', '/') : file
}
