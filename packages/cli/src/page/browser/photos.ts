import type { TrialView } from '../types.js'
import type { Album } from './database.js'
import type { Store } from './state.js'

/** Longest side of a photo as it is kept, pixels: a plug's colour shows, and fifty of them take 15 MB. Chosen. */
const LONGEST = 1280
const QUALITY = 0.8

/** Photos of trials, which a log in YAML has no room for: kept beside it on the device, exported as files beside it. */
export class Photos {
  readonly #store: Store
  readonly #album: Album | null

  constructor(store: Store, album: Album | null) {
    this.#store = store
    this.#album = album
  }

  /** Takes in what is kept. */
  async restore(): Promise<void> {
    if (!this.#album) return
    const [keys, photos] = await Promise.all([this.#album.getAllKeys('photos'), this.#album.getAll('photos')])
    this.#store.set({ photos: new Map(keys.map((key, k) => [key, photos[k]!])) })
  }

  /** Keeps a picture with a trial, small enough; null takes it away. */
  async put(engine: string, trial: TrialView, picture: Blob | null): Promise<void> {
    const key = photoKey(engine, trial)
    const former = this.#store.state.photos.get(key) ?? null
    const photo = picture && (await shrunk(picture).catch(() => null))
    if (picture && !photo)
      return this.#store.complain('This browser cannot read that picture: take it as JPEG or PNG.')
    try {
      await this.#keep(key, photo)
    } catch {
      return this.#store.complain(NO_ROOM)
    }
    const said = photo ? `The photo is kept with trial ${trial.number}.` : 'The photo is removed.'
    this.#store.say(said, () => void this.#keep(key, former))
  }

  /** Takes the photos of an engine off the device. @returns what {@link putBack} puts back */
  async take(engine: string): Promise<ReadonlyMap<string, Blob>> {
    const own = this.#of(engine)
    for (const key of own.keys()) await this.#keep(key, null)
    return own
  }

  async putBack(photos: ReadonlyMap<string, Blob>): Promise<void> {
    try {
      for (const [key, photo] of photos) await this.#keep(key, photo)
    } catch {
      this.#store.complain(NO_ROOM)
    }
  }

  /** Keeps the photos of an engine under another name as well. */
  async copy(engine: string, name: string): Promise<void> {
    const own = [...this.#of(engine)]
    await this.putBack(new Map(own.map(([key, photo]) => [`${name}${key.slice(engine.length)}`, photo])))
  }

  #of(engine: string): ReadonlyMap<string, Blob> {
    return new Map([...this.#store.state.photos].filter(([key]) => key.startsWith(`${engine}\n`)))
  }

  async #keep(key: string, photo: Blob | null): Promise<void> {
    await (photo ? this.#album?.put('photos', photo, key) : this.#album?.delete('photos', key))
    const photos = new Map(this.#store.state.photos)
    if (photo) photos.set(key, photo)
    else photos.delete(key)
    this.#store.set({ photos })
  }
}

const NO_ROOM = 'The browser has no room left for the photo: remove clips and try again.'

/** A trial whose number was given again after an undo is another one: its clips are. */
export function photoKey(engine: string, { number, date, clips }: TrialView): string {
  return [engine, number, date, ...clips].join('\n')
}

/** Number of the trial a photo was exported with; null for other names. */
export function trialOfPhoto(name: string): number | null {
  const found = /trial-(\d+)[^\d]*\.jpe?g$/i.exec(name)
  return found ? Number(found[1]) : null
}

/** As JPEG, {@link LONGEST} pixels at most; without what a camera writes beside the picture, the place above all. */
async function shrunk(picture: Blob): Promise<Blob | null> {
  const image = await createImageBitmap(picture)
  const scale = Math.min(1, LONGEST / Math.max(image.width, image.height))
  const canvas = document.createElement('canvas')
  canvas.width = Math.round(image.width * scale)
  canvas.height = Math.round(image.height * scale)
  canvas.getContext('2d')!.drawImage(image, 0, 0, canvas.width, canvas.height)
  image.close()
  return new Promise((resolve) => canvas.toBlob(resolve, 'image/jpeg', QUALITY))
}
