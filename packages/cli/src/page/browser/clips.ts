import * as comlink from 'comlink'
import type { HeardClip, KeptAnalysis, Outcome, Refusal, Side } from '../types.js'
import { decodeInBrowser } from './decodeInBrowser.js'
import type { RemoteHearing } from './hearing.js'
import type { KeptClip, Shelf } from './keep.js'
import { refusalText } from './refusalText.js'
import type { Clip, Store } from './state.js'

/** How much longer sound is than its analysis takes, before one was measured on this device; a guess for a slow phone. */
const FIRST_SPEED = 8

/** Clips: adding, hearing one after the other, marking, comparing, keeping. */
export class Clips {
  readonly #store: Store
  readonly #hearing: RemoteHearing
  readonly #shelf: Shelf | null
  readonly #build: string
  #queue: Promise<void> = Promise.resolve()
  #speed = FIRST_SPEED
  readonly #heard = new Map<string, KeptAnalysis>()

  constructor(store: Store, hearing: RemoteHearing, shelf: Shelf | null, build: string) {
    this.#store = store
    this.#hearing = hearing
    this.#shelf = shelf
    this.#build = build
  }

  /** Adds files or recordings on one side, in the order given. */
  add(
    files: readonly { readonly name: string; readonly sound: Blob }[],
    side: Side,
    recorded: boolean,
  ): void {
    const clips = files.map(
      ({ name, sound }): Clip => ({
        id: newId(),
        name,
        side,
        status: { kind: 'waiting' },
        sound,
        recorded,
      }),
    )
    this.#store.set({ clips: [...this.#store.state.clips, ...clips], removed: null })
    for (const { id } of clips) this.#enqueue(id)
  }

  /** Listens again to every clip whose sound is at hand, as after a new word on the speed. */
  hearAgain(): void {
    for (const { id, sound } of this.#store.state.clips) if (sound) this.#enqueue(id)
  }

  mark(id: string, side: Side): void {
    this.#store.changeClip(id, { side })
    void this.#keepSide(id, side)
    void this.compare()
  }

  /** Begins the next change: what was after it is before the next. */
  async nextChange(): Promise<void> {
    for (const { id, side } of this.#store.state.clips) {
      if (side === 'before') this.mark(id, 'aside')
      if (side === 'after') this.mark(id, 'before')
    }
    this.#store.set({
      addAs: 'after',
      said: 'The clips after the change are now those before the next one.',
      isWrong: false,
    })
  }

  remove(id: string): void {
    const { clips } = this.#store.state
    const removed = clips.find((clip) => clip.id === id) ?? null
    this.#store.set({
      clips: clips.filter((clip) => clip.id !== id),
      removed,
      said: removed ? `${removed.name} is removed.` : '',
      isWrong: false,
    })
    void this.#shelf?.delete('clips', id)
    void this.compare()
  }

  /** Puts the clip removed last back where it was. */
  putBack(): void {
    const { removed, clips } = this.#store.state
    if (!removed) return
    this.#store.set({ clips: [...clips, removed], removed: null, said: `${removed.name} is back.` })
    const isDone = removed.status.kind === 'heard' || removed.status.kind === 'refused'
    if (!isDone) this.#enqueue(removed.id)
    void this.#keep(removed.id)
    void this.compare()
  }

  async compare(): Promise<void> {
    const { clips, worth } = this.#store.state
    const ids = (side: Side) =>
      clips.filter((clip) => clip.side === side && clip.status.kind === 'heard').map(({ id }) => id)
    const [before, after] = [ids('before'), ids('after')]
    if (before.length === 0 || after.length === 0) return this.#store.set({ comparison: null })
    const outcome = await this.#hearing.compare(before, after, worth)
    if ('refused' in outcome) return this.#store.set({ comparison: outcome })
    const spoken = outcome.ok.sentences.slice(0, 2).join(' ')
    this.#store.set({ comparison: { answer: outcome.ok }, spoken })
  }

  /** Takes in what an earlier visit left. */
  async restore(): Promise<void> {
    const kept = (await this.#shelf?.getAll('clips')) ?? []
    for (const clip of kept.sort((a, b) => a.id.localeCompare(b.id))) await this.#restoreOne(clip)
    await this.compare()
  }

  async #restoreOne({ id, name, side, build, kept, sound }: KeptClip): Promise<void> {
    const common = { id, name, side, sound, recorded: sound !== null }
    const add = (clip: Clip) => this.#store.set({ clips: [...this.#store.state.clips, clip] })
    if (build === this.#build) {
      const answer = await this.#hearing.restore(id, kept)
      this.#heard.set(id, kept)
      return add({ ...common, status: { kind: 'heard', answer } })
    }
    if (sound) {
      add({ ...common, status: { kind: 'waiting' } })
      return this.#enqueue(id)
    }
    const message = 'was heard by an earlier version of this page'
    add({ ...common, status: { kind: 'refused', refusal: { message, hint: 'pick it again' } } })
  }

  #enqueue(id: string): void {
    this.#store.changeClip(id, { status: { kind: 'waiting' } })
    this.#queue = this.#queue.then(() => this.#hear(id)).catch((error: unknown) => this.#failed(id, error))
  }

  async #hear(id: string): Promise<void> {
    const clip = this.#store.state.clips.find((c) => c.id === id)
    if (!clip?.sound) return
    this.#store.changeClip(id, { status: { kind: 'reading' } })
    const read = await this.#read(id, clip.sound)
    if ('refusal' in read) return this.#refuse(id, read.refusal)
    const { lengthS } = read
    this.#store.changeClip(id, {
      status: { kind: 'listening', lengthS, startedMs: performance.now(), expectS: lengthS / this.#speed },
    })
    const outcome: Outcome<HeardClip> = await this.#hearing.listen(id, this.#store.state.expected)
    if ('refused' in outcome) return this.#refuse(id, outcome.refused)
    const { answer, kept, tookS } = outcome.ok
    if (lengthS > 2 && tookS > 0) this.#speed = lengthS / tookS
    this.#store.changeClip(id, { status: { kind: 'heard', answer } })
    this.#store.set({ spoken: `${clip.name}: ${answer.sentences.slice(0, 2).join(' ')}` })
    this.#heard.set(id, kept)
    await this.#keep(id)
    await this.compare()
  }

  async #read(id: string, sound: Blob): Promise<{ lengthS: number } | { refusal: Refusal }> {
    const read = await this.#hearing.read(id, sound)
    if (read.kind !== 'undecoded') return read
    const decoded = await decodeInBrowser(sound, read.rateHz, read.name, (channel, samples) =>
      this.#hearing.takePart(id, channel, comlink.transfer(samples, [samples.buffer])),
    )
    if ('refusal' in decoded) return decoded
    return { lengthS: await this.#hearing.joinParts(id, decoded.rateHz) }
  }

  #refuse(id: string, refusal: Refusal): void {
    const name = this.#store.state.clips.find((clip) => clip.id === id)?.name ?? ''
    this.#store.changeClip(id, { status: { kind: 'refused', refusal } })
    this.#store.set({ spoken: `${name} ${refusalText(refusal)}.` })
  }

  #failed(id: string, error: unknown): void {
    console.error(error)
    const message = `could not be heard: ${error instanceof Error ? error.message : String(error)}`
    this.#refuse(id, { message, hint: 'this is a bug in everyrev; the clip itself is not changed' })
  }

  async #keep(id: string): Promise<void> {
    const clip = this.#store.state.clips.find((c) => c.id === id)
    const kept = this.#heard.get(id)
    if (!clip || !kept) return
    const { name, side, recorded, sound } = clip
    const entry: KeptClip = { id, name, side, build: this.#build, kept, sound: recorded ? sound : null }
    await this.#shelf?.put('clips', entry).catch(() => this.#full())
  }

  async #keepSide(id: string, side: Side): Promise<void> {
    const kept = await this.#shelf?.get('clips', id)
    if (kept) await this.#shelf?.put('clips', { ...kept, side }).catch(() => this.#full())
  }

  #full(): void {
    this.#store.set({
      said: 'The browser has no room left to keep this: save recordings and export the log.',
      isWrong: true,
    })
  }
}

let made = 0

/** Ids in the order clips were added, also over visits. */
function newId(): string {
  made++
  return `${Date.now()}-${String(made).padStart(4, '0')}`
}
