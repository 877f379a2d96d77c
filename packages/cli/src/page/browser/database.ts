import { type DBSchema, type IDBPDatabase, openDB } from 'idb'
import type { Expected, KeptAnalysis, LoggedAs, Plan, Side, Span, SumsState, Units } from '../types.js'

/** A clip as it is kept on the device: what was heard, and the sound where there is room. */
export interface KeptClip {
  readonly id: string
  readonly name: string
  readonly side: Side
  /** Mark of the page that heard it: another one may hear differently. */
  readonly build: string
  /** Null as long as it was not heard: a clip is kept before that. */
  readonly kept: KeptAnalysis | null
  readonly sound: Blob | null
  /** Both absent in what earlier pages kept: they heard all of every sound. */
  readonly span?: Span | null
  readonly wholeS?: number | null
  /** Absent in what earlier pages kept: they kept the sound of recordings alone. */
  readonly recorded?: boolean
  /** Absent in what earlier pages kept. */
  readonly logged?: LoggedAs | null
}

export interface KeptLog {
  readonly engine: string
  readonly text: string
  /** Counts what was written, so that no page writes over what another one wrote; absent counts as 0. */
  readonly version?: number
}

export interface KeptSettings {
  readonly engine: string | null
  readonly expected: Expected
  readonly worth: number
  readonly units?: Units
  readonly addAs: 'before' | 'after'
  readonly planned?: Plan | null
  readonly sums?: SumsState
}

interface Schema extends DBSchema {
  clips: { key: string; value: KeptClip }
  logs: { key: string; value: KeptLog }
  settings: { key: 'all'; value: KeptSettings }
}

/** Where clips, logs and settings outlive the page. */
export type Database = IDBPDatabase<Schema>

/** Opens the store of this device; null where the browser has none for this page. */
export async function openShelf(): Promise<Database | null> {
  try {
    const database = await openDB<Schema>('everyrev', 1, {
      upgrade(db) {
        db.createObjectStore('clips', { keyPath: 'id' })
        db.createObjectStore('logs', { keyPath: 'engine' })
        db.createObjectStore('settings')
      },
    })
    return database
  } catch {
    return null
  }
}

interface PhotoSchema extends DBSchema {
  /** By `photoKey`. */
  photos: { key: string; value: Blob }
}

/** Photos of trials. */
export type Album = IDBPDatabase<PhotoSchema>

/** A store of its own: a page of an earlier version, open in another window, would hold up a change of the other. */
export async function openAlbum(): Promise<Album | null> {
  try {
    return await openDB<PhotoSchema>('everyrev-photos', 1, {
      upgrade(db) {
        db.createObjectStore('photos')
      },
    })
  } catch {
    return null
  }
}

/** Asks that the browser never clears the store by itself. @returns its answer; false where it has none */
export async function askToKeep(): Promise<boolean> {
  try {
    return await navigator.storage.persist()
  } catch {
    return false
  }
}

/** Keeps a clip, or the settings, even where the page is left at the next moment. */
export async function keepNow<Name extends 'clips' | 'settings'>(
  database: Database,
  name: Name,
  value: Schema[Name]['value'],
  key?: Schema[Name]['key'],
): Promise<void> {
  const transaction = database.transaction(name, 'readwrite')
  const put = transaction.store.put(value, key)
  // Left to itself, a transaction commits when its last answer has come back to the page, if there still is one.
  transaction.commit()
  await Promise.all([put, transaction.done])
}

/** Puts a kept clip on another side; one that is not kept stays so, also where it is removed at this moment. */
export async function replaceSide(database: Database, id: string, side: Side): Promise<void> {
  const { store, done } = database.transaction('clips', 'readwrite')
  const kept = await store.get(id)
  await Promise.all([kept && store.put({ ...kept, side }), done])
}

/**
 * Puts a log in place of what was read before, unless another page has written meanwhile.
 *
 * @param before what was read; null where there was nothing
 * @param text   null takes the log away
 * @param named  what kept clips are called in the log from now on, by their ids; written with the log or not at all
 * @returns what is kept now, null where nothing is; undefined where another page was faster and nothing was written
 */
export async function replaceLog(
  database: Database,
  engine: string,
  before: KeptLog | null,
  text: string | null,
  named: ReadonlyMap<string, LoggedAs> = new Map(),
): Promise<KeptLog | null | undefined> {
  const transaction = database.transaction(['logs', 'clips'], 'readwrite')
  const [logs, clips] = [transaction.objectStore('logs'), transaction.objectStore('clips')]
  const now = (await logs.get(engine)) ?? null
  if (now?.text !== before?.text || now?.version !== before?.version) return undefined
  const next = text === null ? null : { engine, text, version: (now?.version ?? 0) + 1 }
  await (next ? logs.put(next) : logs.delete(engine))
  for (const [id, logged] of named) {
    const kept = await clips.get(id)
    if (kept) await clips.put({ ...kept, logged })
  }
  await transaction.done
  return next
}
