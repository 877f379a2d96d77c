import { createHash } from 'node:crypto'
import { mkdirSync, readdirSync, readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { deserialize, serialize } from 'node:v8'
import { type ConditionName, makeCondition, simulate } from '../../../../scripts/simulate/index.js'
import { makeNegative, type NegativeKind } from './negatives/index.js'
import { makeSecond, type SecondName } from './second/index.js'
import { NEGATIVE_S, type Source, type Task } from './tasks.js'
import { type TurnTruth, turnTruth } from './truth.js'

/** Where made clips are kept; making one takes longer than analysing it. */
const CACHE = fileURLToPath(new URL('../../../../node_modules/.cache/everyrev-accuracy/', import.meta.url))
type Maker = Exclude<Source, 'recording' | 'fixture'>
const FOLDERS: Record<Maker, readonly string[]> = {
  first: ['../../../../scripts/simulate/'],
  second: ['second/'],
  negative: ['negatives/', 'second/'],
}
const FULL_SCALE = 32767

interface MadeClip {
  readonly samples: Int16Array
  readonly rateHz: number
  readonly truth: TurnTruth | null
}

/** A made clip at 16 bits, as a phone would keep it; from the cache when the simulator has not changed since. */
export function makeClip(task: Task): { samples: Float32Array; rateHz: number; truth: TurnTruth | null } {
  const clip = readCached(task) ?? keep(task, generate(task))
  return { ...clip, samples: Float32Array.from(clip.samples, (v) => v / FULL_SCALE) }
}

function fileOf(task: Task): string | null {
  const folder = cacheFolder(task.source)
  return folder && `${folder}${task.name}-${task.seed}.bin`
}

function readCached(task: Task): MadeClip | null {
  const file = fileOf(task)
  try {
    return file && deserialize(readFileSync(file))
  } catch {
    return null // not made yet, or cut off
  }
}

/** Writes a clip aside and renames it, so that no worker reads half a file; a full disk only costs time. */
function keep(task: Task, clip: MadeClip): MadeClip {
  const file = fileOf(task)
  try {
    if (file) {
      writeFileSync(`${file}.${process.pid}`, serialize(clip))
      renameSync(`${file}.${process.pid}`, file)
    }
  } catch (error) {
    console.warn(`clip not kept: ${error instanceof Error ? error.message : error}`)
  }
  return clip
}

function generate({ source, name, seed }: Task): MadeClip {
  const made =
    source === 'second'
      ? makeSecond(name as SecondName, seed)
      : source === 'first'
        ? simulate(makeCondition(name as ConditionName, seed), seed)
        : { ...makeNegative(name as NegativeKind, seed, NEGATIVE_S), truth: null }
  return {
    samples: Int16Array.from(made.samples, (v) => Math.round(FULL_SCALE * Math.max(-1, Math.min(1, v)))),
    rateHz: made.rateHz,
    truth: made.truth && turnTruth(made.truth),
  }
}

const folders = new Map<Maker, string | null>()

/**
 * Folder of a simulator as it stands, named by its sources; those of earlier states are removed. Null when a source
 * changed after this process had read it, as its clips would then stand under the wrong name.
 */
function cacheFolder(source: Source): string | null {
  if (source === 'recording' || source === 'fixture') throw new Error(`a ${source} is read, not made`)
  let folder = folders.get(source)
  if (folder === undefined) {
    folder = openFolder(source, [...FOLDERS[source], './truth.ts'].flatMap(sourceFiles))
    folders.set(source, folder)
  }
  return folder
}

function openFolder(source: Maker, files: readonly string[]): string | null {
  if (files.some((file) => statSync(file).mtimeMs > performance.timeOrigin)) return null
  const hash = createHash('sha1').update(`form 1, ${NEGATIVE_S} s`)
  for (const file of files) hash.update(readFileSync(file))
  const name = `${source}-${hash.digest('hex').slice(0, 12)}`
  mkdirSync(`${CACHE}${name}`, { recursive: true })
  for (const other of readdirSync(CACHE))
    if (other.startsWith(`${source}-`) && other !== name)
      rmSync(`${CACHE}${other}`, { recursive: true, force: true })
  return `${CACHE}${name}/`
}

/** The file itself, or the sources in a folder without tests and checks. */
function sourceFiles(place: string): string[] {
  const path = fileURLToPath(new URL(place, import.meta.url))
  if (!path.endsWith('/')) return [path]
  const names = readdirSync(path).filter(
    (name) => /\.ts$/.test(name) && !/\.test\.ts$|^check\.ts$/.test(name),
  )
  return names.sort().map((name) => path + name)
}
