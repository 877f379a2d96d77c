import type { Expected, NextStep, Plan, TrialForm, Typed, Units } from '../types.js'
import { answerPicture, type Pictured } from './answerPicture.js'
import { Clips } from './clips.js'
import { type Album, type Database, type KeptSettings, keepNow } from './database.js'
import { type Draft, keepDraft, keptDraft, NEW_ENGINE, newDraft } from './draft.js'
import { embeddedText, type RemoteHearing } from './hearing.js'
import { Logs } from './logs.js'
import { Photos, trialOfPhoto } from './photos.js'
import { Recorder } from './recorder.js'
import { refusalText } from './refusalText.js'
import { share } from './share.js'
import type { Store } from './state.js'

/** Everything the rider can do. */
export class Actions {
  readonly clips: Clips
  readonly logs: Logs
  readonly photos: Photos
  readonly recorder: Recorder
  readonly #store: Store
  readonly #database: Database | null
  readonly #build: string

  constructor(
    store: Store,
    hearing: RemoteHearing,
    database: Database | null,
    album: Album | null,
    build: string,
    captureScript: string,
  ) {
    this.#store = store
    this.#database = database
    this.#build = build
    this.clips = new Clips(store, hearing, database, build)
    this.photos = new Photos(store, album)
    this.logs = new Logs(store, hearing, database, this.photos, embeddedText('rules'))
    this.recorder = new Recorder(store, hearing, this.clips, captureScript)
  }

  /** Takes in what an earlier visit left. */
  async restore(): Promise<void> {
    const settings = await this.#database?.get('settings', 'all')
    if (settings) this.#store.set({ ...settings, planned: planOf(settings) })
    this.#keepSettings(settings ?? null)
    await this.photos.restore()
    await this.logs.restore()
    await this.clips.restore()
    this.#restoreDraft()
    this.#store.set({ ready: true })
  }

  #restoreDraft(): void {
    const draft = keptDraft(this.#build)
    const isThere = ({ engine }: Draft) =>
      engine === NEW_ENGINE || this.#store.state.logs.some((log) => log.engine === engine)
    if (draft && isThere(draft) && this.#store.state.view === null) this.#store.set({ draft, view: 'trial' })
    let kept = this.#store.state.draft
    this.#store.read(() => {
      const { draft: now } = this.#store.state
      if (now !== kept) keepDraft(now, this.#build)
      kept = now
    })
  }

  readonly pick = (files: readonly File[]): void => {
    const { addAs } = this.#store.state
    this.clips.add(
      files.map((file) => ({ name: file.name, sound: file })),
      addAs,
      false,
    )
  }

  readonly addAs = (addAs: 'before' | 'after'): void => this.#store.set({ addAs })

  readonly expect = (expected: Expected): void => {
    this.#store.set({ expected })
    this.clips.hearAgain()
  }

  readonly setWorth = (worth: number): void => {
    this.#store.set({ worth })
    void this.clips.compare()
  }

  readonly setUnits = (units: Units): void => this.#store.set({ units })

  readonly goToBench = (): void => this.#store.set({ ...NOTHING_SAID, isAtBench: true })

  /** Back from the bench to what was left there, half-filled forms and all; from anywhere else to the usual page. */
  readonly goToRide = (): void => {
    const { isAtBench } = this.#store.state
    if (isAtBench) this.#store.set({ isAtBench: false })
    else this.closeView()
  }

  /** Takes in what was typed into a sum. */
  readonly typeSum = (
    part: string,
    { way, typed }: { readonly way?: string; readonly typed?: Readonly<Record<string, Typed>> },
  ): void => {
    const { sums } = this.#store.state
    const former = sums[part]
    const now = { ...former, ...(way && { way }), typed: { ...former?.typed, ...typed } }
    this.#store.set({ sums: { ...sums, [part]: now } })
  }

  readonly openForm = (): void => {
    const draft = newDraft(this.logs.shown?.engine ?? NEW_ENGINE, this.#store.state.planned, this.countOf)
    this.#store.set({ ...NOTHING_SAID, view: 'trial', draft })
  }

  readonly closeView = (): void => this.#store.set({ view: null, draft: null })

  /** How many clips of a side a new trial of an engine holds. */
  readonly countOf = (side: 'before' | 'after', engine: string): number =>
    this.logs.clipsFor(side, engine).length

  readonly fillIn = (more: (now: Draft) => Partial<Draft>): void => {
    const { draft } = this.#store.state
    if (draft) this.#store.set({ draft: { ...draft, ...more(draft) } })
  }

  readonly openNext = async (): Promise<void> => {
    this.#store.set({ ...NOTHING_SAID, view: 'next', next: null })
    const outcome = await this.logs.next()
    if ('ok' in outcome) return this.#store.set({ next: outcome.ok })
    this.closeView()
    this.#store.complain(refusalText(outcome.refused))
  }

  /** Sets out to try a suggestion: the clips so far are those before it, and the form for the trial knows it. */
  readonly plan = ({ say, changes }: NextStep): void => {
    const { engine } = this.logs.shown!
    this.closeView()
    this.#store.set({ planned: { engine, say, changes } })
    if (this.#store.state.clips.some(({ side }) => side === 'after')) this.clips.nextChange()
    else this.addAs('after')
  }

  /** Hands an answer on, as words and as a picture. */
  readonly share = async (text: string, pictured: Pictured): Promise<void> => {
    await share(this.#store, text, [await answerPicture(pictured)])
  }

  /** Hands the log on as files, of a kind that share sheets take. */
  readonly shareLog = async (): Promise<void> => {
    const [log, ...photos] = this.logs.files()
    if (!log) return
    await share(this.#store, `The log of ${this.logs.shown!.engine}`, [
      new File([log], `${log.name}.txt`, { type: 'text/plain' }),
      ...photos,
    ])
  }

  /** Takes in a log, and photos that were exported beside one. */
  readonly import = async (files: readonly File[]): Promise<void> => {
    const isPhoto = (file: File) => trialOfPhoto(file.name) !== null
    for (const file of files.filter((f) => !isPhoto(f))) await this.logs.import(file)
    for (const file of files.filter(isPhoto)) {
      const trial = this.logs.shown?.view.trials.find(({ number }) => number === trialOfPhoto(file.name))
      if (trial) await this.photos.put(this.logs.shown!.engine, trial, file)
      else this.#store.complain(`${file.name} belongs to no trial of the log that is shown.`)
    }
  }

  readonly forgetPlan = (): void => this.#store.set({ planned: null })
  readonly closeMessage = (): void => this.#store.set(NOTHING_SAID)

  /** @returns what is wrong; null when it is kept */
  readonly keepTrial = async (
    form: TrialForm,
    side: 'before' | 'after',
    engine: string,
    photo: File | null,
  ): Promise<string | null> => {
    const wrong = await this.logs.addTrial(form, side, engine)
    if (wrong !== null) return wrong
    const { engine: name, view } = this.logs.shown!
    const trial = view.trials.at(-1)!
    const { planned } = this.#store.state
    this.#store.set({ view: null, draft: null, planned: planned?.engine === name ? null : planned })
    if (photo) await this.photos.put(name, trial, photo)
    return wrong
  }

  /** Keeps settings whenever one of them changes. */
  #keepSettings(first: KeptSettings | null): void {
    let kept = JSON.stringify(first)
    this.#store.read(() => {
      const { engine, expected, worth, units, addAs, planned, sums } = this.#store.state
      const settings: KeptSettings = { engine, expected, worth, units, addAs, planned, sums }
      const now = JSON.stringify(settings)
      if (now === kept) return
      kept = now
      if (this.#database) void keepNow(this.#database, 'settings', settings, 'all').catch(() => {})
    })
  }
}

const NOTHING_SAID = { said: '', isWrong: false, undo: null } as const

/** The plan of an earlier visit; a page of old kept it in another form, which is let go of. */
function planOf({ planned }: KeptSettings): Plan | null {
  return planned && 'changes' in planned ? planned : null
}
