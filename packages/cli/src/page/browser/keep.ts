import { type DBSchema, type IDBPDatabase, openDB } from 'idb'
import type { Expected, KeptAnalysis, Side } from '../types.js'

/** A clip as it is kept on the device: what was heard; the sound only of recordings made here. */
export interface KeptClip {
  readonly id: string
  readonly name: string
  readonly side: Side
  /** Mark of the page that heard it: another one may hear differently. */
  readonly build: string
  readonly kept: KeptAnalysis
  readonly sound: Blob | null
}

export interface KeptLog {
  readonly engine: string
  readonly text: string
}

export interface KeptSettings {
  readonly engine: string | null
  readonly expected: Expected
  readonly worth: number
  readonly addAs: 'before' | 'after'
}

interface Schema extends DBSchema {
  clips: { key: string; value: KeptClip }
  logs: { key: string; value: KeptLog }
  settings: { key: 'all'; value: KeptSettings }
}

/** Where clips, logs and settings outlive the page. */
export type Shelf = IDBPDatabase<Schema>

/** Opens the store of this device; null where the browser has none for this page. */
export async function openShelf(): Promise<Shelf | null> {
  try {
    const shelf = await openDB<Schema>('everyrev', 1, {
      upgrade(db) {
        db.createObjectStore('clips', { keyPath: 'id' })
        db.createObjectStore('logs', { keyPath: 'engine' })
        db.createObjectStore('settings')
      },
    })
    // Asks that the browser does not clear it when space runs short; the answer changes nothing here.
    void navigator.storage?.persist?.()
    return shelf
  } catch {
    return null
  }
}
