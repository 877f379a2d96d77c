import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { RoughKind } from './kinds.js'

/** Programs that roughenings need, where this machine has them. */
export interface Tools {
  /** Coder of AMR-NB: in ffmpeg, or a library that Python calls. */
  readonly amr: 'ffmpeg' | 'library' | null
  readonly opus: boolean
  /** A speaking program; else speech is made. */
  readonly speaker: boolean
}

/** The library that `amr.py` calls. */
const LOAD_AMR = 'import ctypes; ctypes.CDLL("libopencore-amrnb.so.0"); print("loaded")'

let found: Tools | null = null

/** Looks once for what is there. */
export function findTools(): Tools {
  found ??= lookForTools()
  return found
}

/** Why a kind cannot be made here; null when it can. */
export function lacking(kind: RoughKind, { amr, opus }: Tools = findTools()): string | null {
  if (kind.startsWith('amr') && amr === null)
    return 'needs ffmpeg with libopencore_amrnb, or ffmpeg, python3 and libopencore-amrnb0'
  return kind.startsWith('opus') && !opus ? 'needs ffmpeg with libopus' : null
}

/**
 * Runs a program to its end.
 *
 * @returns what it wrote to its standard output
 * @throws {Error} with the last line it said when it fails
 */
export function runTool(program: string, args: readonly string[], input?: Uint8Array): Buffer {
  const { status, error, stdout, stderr } = spawnSync(program, args, {
    maxBuffer: 1 << 28,
    ...(input && { input }),
  })
  if (error) throw error
  if (status !== 0) throw new Error(`${program}: ${String(stderr).trim().split('\n').at(-1)}`)
  return stdout
}

/** A folder for the time of a call; nothing of it stays. */
export function inTemporaryFolder<T>(use: (folder: string) => T): T {
  const folder = mkdtempSync(join(tmpdir(), 'everyrev-rough-'))
  try {
    return use(folder)
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

function lookForTools(): Tools {
  const says = (program: string, ...args: string[]): string => {
    const { stdout, error } = spawnSync(program, args, { encoding: 'utf8' })
    return error ? '' : stdout
  }
  const encoders = says('ffmpeg', '-hide_banner', '-encoders')
  const library = encoders && says('python3', '-c', LOAD_AMR).includes('loaded')
  return {
    amr: encoders.includes('libopencore_amrnb') ? 'ffmpeg' : library ? 'library' : null,
    opus: encoders.includes('libopus'),
    speaker: encoders !== '' && says('espeak-ng', '--version') !== '',
  }
}
