import * as comlink from 'comlink'
import { dayText } from '../../render/dayText.js'
import { MAX_RECORDING_S } from '../limits.js'
import { microphoneRefusal } from '../record/microphoneRefusal.js'
import type { BlockLevel } from './capture.entry.js'
import type { Clips } from './clips.js'
import type { RemoteHearing } from './hearing.js'
import { type Microphone, openMicrophone } from './microphone.js'
import type { RecordingState, Store } from './state.js'

/** Pause between two quick looks, ms. */
const LOOK_EVERY_MS = 2_000
/** Long looks take at most a fifth of the hearing thread's time, and are this far apart at least, ms. */
const LONG_SHARE = 5
const LONG_EVERY_MS = 5_000
/** Sound that stops coming for this long has ended, ms. */
const SILENT_MS = 4_000
/** A cut-off sample is shown for this long, ms. */
const CUT_SHOWN_MS = 3_000

/** One recording at a time: microphone, looks while it grows, end. */
export class Recorder {
  readonly #store: Store
  readonly #hearing: RemoteHearing
  readonly #clips: Clips
  readonly #captureScript: string
  #microphone: Microphone | null = null
  #samples = 0
  #lastBlockMs = 0
  /** Counts up with every start: who comes late belongs to another recording. */
  #turn = 0
  #cutAtMs = Number.NEGATIVE_INFINITY
  #awake: WakeLockSentinel | null = null

  constructor(store: Store, hearing: RemoteHearing, clips: Clips, captureScript: string) {
    this.#store = store
    this.#hearing = hearing
    this.#clips = clips
    this.#captureScript = captureScript
    document.addEventListener('visibilitychange', () => void this.#keepAwake())
  }

  async start(): Promise<void> {
    if (this.#store.state.recording) return
    const side = this.#store.state.addAs
    this.#turn++
    const turn = this.#turn
    this.#store.set({ recording: { ...NOTHING_YET, side }, said: '', isWrong: false })
    try {
      const { port1, port2 } = new MessageChannel()
      this.#samples = 0
      const microphone = await openMicrophone(this.#captureScript, port1, {
        level: (level) => this.#show(level),
        lost: () => void this.stop(TAKEN_AWAY),
      })
      if (turn !== this.#turn) return microphone.close()
      this.#microphone = microphone
      this.#lastBlockMs = performance.now()
      const { rateHz, leftOn, notTold } = microphone
      await this.#hearing.record(comlink.transfer(port2, [port2]), rateHz)
      this.#change({ phase: 'running', leftOn, notTold })
      await this.#keepAwake()
      void this.#listenOn()
    } catch (error) {
      if (turn !== this.#turn) return
      this.#store.set({ recording: null })
      this.#store.complain(microphoneRefusal(error, location.protocol))
    }
  }

  /** Ends the recording without hearing it; it can be put back. */
  discard(): Promise<void> {
    return this.stop('', true)
  }

  /** Ends the recording; it becomes a clip. @param why said where the rider did not end it */
  async stop(why = '', isDiscarded = false): Promise<void> {
    const { recording } = this.#store.state
    if (recording?.phase === 'opening') {
      this.#turn++
      this.#store.set({ recording: null })
    }
    if (recording?.phase !== 'running') return
    this.#change({ phase: 'ending' })
    await this.#microphone?.close()
    this.#microphone = null
    await this.#awake?.release()
    const wav = await this.#hearing.endRecording()
    this.#store.set({ recording: null, spoken: wav && !isDiscarded ? 'Recorded.' : '' })
    if (!wav) return this.#store.complain('Nothing was recorded: the microphone gave no sound.')
    const now = new Date()
    const time = now.toLocaleTimeString('en-GB').replaceAll(':', '')
    const name = `${dayText(now)}-${time}-${recording.side}.wav`
    const sound = new Blob([wav], { type: 'audio/wav' })
    const add = () => this.#clips.add([{ name, sound }], recording.side, true)
    if (isDiscarded) return this.#store.say('The recording is discarded.', add)
    add()
    if (why) this.#store.complain(why)
  }

  /** Keeps the screen on; the browser lets go of it whenever another window is in front. */
  readonly #keepAwake = async (): Promise<void> => {
    if (document.visibilityState !== 'visible' || this.#store.state.recording === null) return
    this.#awake = (await navigator.wakeLock?.request('screen').catch(() => null)) ?? null
    this.#awake?.addEventListener('release', () => this.#change({ isAwake: false }))
    this.#change({ isAwake: this.#awake !== null })
  }

  #show({ rms, peak, cut, samples }: BlockLevel): void {
    const now = performance.now()
    this.#lastBlockMs = now
    if (cut > 0) this.#cutAtMs = now
    this.#samples += samples
    const lengthS = this.#samples / (this.#microphone?.rateHz ?? 48_000)
    this.#change({ rms, peak, isCut: now - this.#cutAtMs < CUT_SHOWN_MS, lengthS })
    if (lengthS >= MAX_RECORDING_S)
      void this.stop(`A recording lasts ${MAX_RECORDING_S / 60} minutes at most; it is kept up to there.`)
  }

  async #listenOn(): Promise<void> {
    let longAtMs = performance.now()
    let tookMs = 0
    while (this.#store.state.recording?.phase === 'running') {
      await new Promise((resolve) => setTimeout(resolve, LOOK_EVERY_MS))
      const { recording, expected } = this.#store.state
      if (recording?.phase !== 'running') return
      if (performance.now() - this.#lastBlockMs > SILENT_MS) return this.stop(TAKEN_AWAY)
      const started = performance.now()
      const isLong = started - longAtMs >= Math.max(LONG_EVERY_MS, LONG_SHARE * tookMs)
      const live = await this.#hearing.hearSoFar(expected, isLong ? this.#against(recording) : null)
      if (isLong) {
        longAtMs = performance.now()
        tookMs = longAtMs - started
      }
      if (live) this.#change({ live, ...(live.soFar && { soFar: live.soFar }) })
    }
  }

  #against({ side }: RecordingState) {
    const { clips, worth } = this.#store.state
    const ids = (wanted: string) =>
      clips.filter((clip) => clip.side === wanted && clip.status.kind === 'heard').map(({ id }) => id)
    return { before: ids('before'), after: ids('after'), side, worth }
  }

  #change(change: Partial<RecordingState>): void {
    const { recording } = this.#store.state
    if (recording) this.#store.set({ recording: { ...recording, ...change } })
  }
}

const TAKEN_AWAY = 'The microphone was taken away; what was recorded until then is kept.'

const NOTHING_YET: RecordingState = {
  side: 'before',
  phase: 'opening',
  lengthS: 0,
  rms: 0,
  peak: 0,
  isCut: false,
  leftOn: [],
  notTold: [],
  live: null,
  soFar: null,
  isAwake: false,
}
