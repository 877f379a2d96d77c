import { listText } from '@everyrev/core/tuning'
import * as comlink from 'comlink'
import { MAX_KEPT_BYTES } from '../limits.js'
import type { ClipTurns, HeardClip, KeptAnalysis, Outcome, Refusal, Side, Span } from '../types.js'
import { type Database, type KeptClip, keepNow, replaceSide } from './database.js'
import { decodeInBrowser } from './decodeInBrowser.js'
import type { RemoteHearing } from './hearing.js'
import { refusalText } from './refusalText.js'
import type { Clip, Store } from './state.js'

/** How much longer sound is than its analysis takes, before one was measured on this device; a guess for a slow phone. */
const FIRST_SPEED = 8

/** Clips: adding, hearing one after the other, marking, comparing, keeping. */
export class Clips {
  readonly #store: Store
  readonly #hearing: RemoteHearing
  readonly #database: Database | null
  readonly #build: string
  #queue: Promise<void> = Promise.resolve()
  #speed = FIRST_SPEED
  readonly #heard = new Map<string, KeptAnalysis>()

  constructor(store: Store, hearing: RemoteHearing, database: Database | null, build: string) {
    this.#store = store
    this.#hearing = hearing
    this.#database = database
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
        span: null,
        wholeS: null,
        recorded,
        logged: null,
      }),
    )
    this.#store.set({ clips: [...this.#store.state.clips, ...clips] })
    for (const { id } of clips) {
      // The only copy is safe before it is listened to; what was picked is found again after a reload.
      if (recorded) void this.#keep(id)
      else void this.#keepAsPicked(id)
      this.#enqueue(id)
    }
  }

  /** Listens again to every clip whose sound is at hand, as after a new word on the speed, and says which are not. */
  hearAgain(): void {
    const { clips } = this.#store.state
    for (const { id, sound } of clips) if (sound) this.#enqueue(id)
    const silent = clips.filter(({ sound }) => !sound).map(({ name }) => name)
    if (silent.length === 0) return
    const [it, was] = silent.length === 1 ? ['it', 'its sound was'] : ['them', 'their sound was']
    this.#store.complain(`Not heard again: ${listText(silent)}, as ${was} not kept. Pick ${it} again.`)
  }

  /** Puts a clip on another side. */
  mark(id: string, side: Side): void {
    const clip = this.#clip(id)
    if (!clip || clip.side === side) return
    this.#move([clip], () => side)
    this.#store.say(SIDE_SAID[side], () => this.#move([clip], () => clip.side))
  }

  /** Hears only a part of a clip from now on, or all of it again. */
  trim(id: string, span: Span | null): void {
    const clip = this.#clip(id)
    if (!clip?.sound) return
    const hear = (part: Span | null) => {
      this.#store.changeClip(id, { span: part })
      this.#enqueue(id)
    }
    hear(span)
    const said = span ? 'Only this part of the clip counts now.' : 'All of the clip counts again.'
    this.#store.say(said, () => hear(clip.span))
  }

  /** Turns of a clip at their places in the whole of its sound. */
  async turnsOf({ id, span }: Clip): Promise<ClipTurns> {
    const turns = await this.#hearing.turnsOf(id)
    return { ...turns, timeS: turns.timeS.map((timeS) => timeS + (span?.fromS ?? 0)) }
  }

  #move(clips: readonly Clip[], sideOf: (clip: Clip) => Side): void {
    for (const clip of clips) {
      this.#store.changeClip(clip.id, { side: sideOf(clip) })
      void this.#keepSide(clip.id, sideOf(clip))
    }
    void this.compare()
  }

  /** Begins the next change: what was after it is before the next. */
  nextChange(): void {
    const { clips, addAs } = this.#store.state
    this.#move(clips, ({ side }) => (side === 'after' ? 'before' : 'aside'))
    this.#store.set({ addAs: 'after' })
    this.#store.say('The clips after the change are now those before the next one.', () => {
      this.#move(clips, ({ side }) => side)
      this.#store.set({ addAs })
    })
  }

  remove(id: string): void {
    const { clips } = this.#store.state
    const removed = this.#clip(id)
    if (!removed) return
    this.#store.set({ clips: clips.filter((clip) => clip.id !== id) })
    this.#store.say(`${removed.name} is removed.`, () => this.#putBack(removed))
    void this.#database?.delete('clips', id)
    void this.compare()
  }

  #putBack(removed: Clip): void {
    const clips = [...this.#store.state.clips, removed]
    this.#store.set({ clips: clips.sort((a, b) => a.id.localeCompare(b.id)) })
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
    const kept = (await this.#database?.getAll('clips')) ?? []
    for (const clip of kept.sort((a, b) => a.id.localeCompare(b.id))) await this.#restoreOne(clip)
    await this.compare()
  }

  async #restoreOne({
    id,
    name,
    side,
    build,
    kept,
    sound,
    recorded = sound !== null,
    span = null,
    wholeS = kept?.durationS ?? null,
    logged = null,
  }: KeptClip): Promise<void> {
    const common = { id, name, side, sound, recorded, span, wholeS, logged }
    const add = (clip: Clip) => this.#store.set({ clips: [...this.#store.state.clips, clip] })
    if (kept && build === this.#build) {
      const answer = await this.#hearing.restore(id, kept)
      this.#heard.set(id, kept)
      return add({ ...common, status: { kind: 'heard', answer } })
    }
    if (sound) {
      add({ ...common, status: { kind: 'waiting' } })
      return this.#enqueue(id)
    }
    const message = kept
      ? 'was heard by an earlier version of this page'
      : 'was not heard before the page was left'
    add({ ...common, status: { kind: 'refused', refusal: { message, hint: 'pick it again' } } })
  }

  #clip(id: string): Clip | undefined {
    return this.#store.state.clips.find((clip) => clip.id === id)
  }

  #enqueue(id: string): void {
    this.#store.changeClip(id, { status: { kind: 'waiting' } })
    this.#queue = this.#queue.then(() => this.#hear(id)).catch((error: unknown) => this.#failed(id, error))
  }

  async #hear(id: string): Promise<void> {
    const clip = this.#clip(id)
    if (!clip?.sound) return
    this.#store.changeClip(id, { status: { kind: 'reading' } })
    const read = await this.#read(id, clip.sound)
    if ('refusal' in read) return this.#refuse(id, read.refusal)
    const { fromS, toS } = clip.span ?? { fromS: 0, toS: read.lengthS }
    const lengthS = toS - fromS
    this.#store.changeClip(id, {
      wholeS: read.lengthS,
      status: { kind: 'listening', lengthS, startedMs: performance.now(), expectS: lengthS / this.#speed },
    })
    const outcome: Outcome<HeardClip> = await this.#hearing.listen(id, this.#store.state.expected, clip.span)
    if ('refused' in outcome) return this.#refuse(id, outcome.refused)
    const { answer, kept, tookS } = outcome.ok
    if (lengthS > 2 && tookS > 0) this.#speed = lengthS / tookS
    this.#heard.set(id, kept)
    await this.#keep(id)
    this.#store.changeClip(id, { status: { kind: 'heard', answer } })
    this.#store.set({ spoken: `${clip.name}: ${answer.sentences.slice(0, 2).join(' ')}` })
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
    const name = this.#clip(id)?.name ?? ''
    this.#store.changeClip(id, { status: { kind: 'refused', refusal } })
    this.#store.set({ spoken: `${name} ${refusalText(refusal)}.` })
  }

  #failed(id: string, error: unknown): void {
    console.error(error)
    const message = `could not be heard: ${error instanceof Error ? error.message : String(error)}`
    this.#refuse(id, { message, hint: 'this is a bug in everyrev; the clip itself is not changed' })
  }

  async #keep(id: string): Promise<void> {
    const clip = this.#clip(id)
    if (!clip) return
    const sound = await keepable(clip.sound)
    await this.#keepWith(id, sound)
      .catch(clip.recorded ? () => this.#full() : () => this.#keepWith(id, null))
      .catch(() => this.#full())
  }

  /** Keeps the way to a picked file until its sound is heard and copied; where that cannot be kept, it is picked again. */
  async #keepAsPicked(id: string): Promise<void> {
    const { sound = null } = this.#clip(id) ?? {}
    await this.#keepWith(id, sound && sound.size <= MAX_KEPT_BYTES ? sound : null).catch(() => {})
  }

  /** Keeps a clip as it is by now: while its sound was copied it may have been marked, heard or removed. */
  async #keepWith(id: string, sound: Blob | null): Promise<void> {
    const clip = this.#clip(id)
    if (!clip) return
    const { name, side, recorded, span, wholeS, logged } = clip
    const kept = this.#heard.get(id) ?? null
    const entry: KeptClip = {
      id,
      name,
      side,
      build: this.#build,
      kept,
      sound,
      recorded,
      span,
      wholeS,
      logged,
    }
    if (this.#database) await keepNow(this.#database, 'clips', entry)
  }

  async #keepSide(id: string, side: Side): Promise<void> {
    if (this.#database) await replaceSide(this.#database, id, side).catch(() => this.#full())
  }

  #full(): void {
    this.#store.complain('The browser has no room left to keep this: save recordings and export the log.')
  }
}

/** Sound copied into memory of the page's own: a browser may keep no more than the way to a picked file, which can go. */
async function keepable(sound: Blob | null): Promise<Blob | null> {
  if (!sound || sound.size > MAX_KEPT_BYTES) return null
  return new Blob([await sound.arrayBuffer()], { type: sound.type })
}

const SIDE_SAID: Readonly<Record<Side, string>> = {
  before: 'The clip is now one from before the change.',
  after: 'The clip is now one from after the change.',
  aside: 'The clip is left out; it counts on neither side.',
}

let made = 0

/** Ids in the order clips were added, also over visits; two pages open at once give different ones. */
function newId(): string {
  made++
  return `${Date.now()}-${String(made).padStart(4, '0')}-${crypto.getRandomValues(new Uint16Array(1))[0]}`
}
