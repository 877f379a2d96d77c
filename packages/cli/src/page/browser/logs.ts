import { listText } from '@everyrev/core/tuning'
import { dayText } from '../../render/dayText.js'
import type {
  AddedOutcome,
  LoggedAs,
  LogOutcome,
  NextAnswer,
  Outcome,
  TrialEdits,
  TrialForm,
  TrialView,
} from '../types.js'
import { type Database, type KeptLog, replaceLog } from './database.js'
import { saveFile } from './files.js'
import type { RemoteHearing } from './hearing.js'
import { type Photos, photoKey } from './photos.js'
import { refusalText } from './refusalText.js'
import type { Clip, DamagedLog, LogState, Store } from './state.js'

/** A change of a log: from its text, null where there is none yet, to what it becomes. */
type LogChange = (text: string | null) => Promise<Outcome<LogOutcome | AddedOutcome>>

/** Tuning logs on this device: one an engine, the text of each the YAML the command line reads. */
export class Logs {
  readonly #store: Store
  readonly #hearing: RemoteHearing
  readonly #database: Database | null
  readonly #photos: Photos
  readonly #rules: string
  /** Tells other pages of this device, open at the same time, that a log was written. */
  readonly #others = typeof BroadcastChannel === 'undefined' ? null : new BroadcastChannel('everyrev-logs')

  /** @param rules the rules of `next`, as text */
  constructor(
    store: Store,
    hearing: RemoteHearing,
    database: Database | null,
    photos: Photos,
    rules: string,
  ) {
    this.#photos = photos
    this.#rules = rules
    this.#store = store
    this.#hearing = hearing
    this.#database = database
  }

  get shown(): LogState | null {
    const { logs, engine } = this.#store.state
    return logs.find((log) => log.engine === engine) ?? logs[0] ?? null
  }

  /** Number of the trial of the log shown that a clip stands in; null where it stands in none. */
  trialOf(clip: Clip): number | null {
    return trialIn(this.shown, clip)
  }

  /** Takes in what is kept, now and whenever another page has written. */
  async restore(): Promise<void> {
    await this.#readAll()
    this.#others?.addEventListener('message', () => void this.#readAll())
    // For browsers that tell nothing between pages.
    document.addEventListener('visibilitychange', () => {
      if (document.visibilityState === 'visible') void this.#readAll()
    })
  }

  async #readAll(): Promise<void> {
    if (!this.#database) return
    const kept = await this.#database.getAll('logs')
    const here = this.#store.state.logs
    for (const { engine } of here) if (!kept.some((log) => log.engine === engine)) this.#drop(engine)
    const read: LogState[] = []
    const damaged: DamagedLog[] = []
    for (const log of kept) {
      if (here.some(({ engine, text }) => engine === log.engine && text === log.text)) continue
      const outcome = await this.#hearing.viewLog(log.text, this.#rules)
      if ('ok' in outcome) read.push({ ...log, view: outcome.ok })
      else {
        const why = refusalText(outcome.refused)
        damaged.push({ ...log, why })
        this.#store.complain(`${log.engine}: ${why}`)
      }
    }
    this.#store.set({ damagedLogs: damaged })
    // Together: with one alone, the log of another engine would stand where the chosen one belongs, and be changed there.
    const isNewer = ({ engine, version = 0 }: LogState) =>
      this.#store.state.logs.every((log) => log.engine !== engine || (log.version ?? 0) <= version)
    this.#put(...read.filter(isNewer))
  }

  show(engine: string): void {
    this.#store.set({ engine })
  }

  /**
   * Keeps clips of one side as a trial; into an empty log, those before the change go in first, as the engine as built.
   *
   * @param engine the log it goes into, or a name for one that is not there yet
   * @returns what is wrong with the form; null when the trial is kept
   */
  async addTrial(form: TrialForm, side: 'before' | 'after', engine: string): Promise<string | null> {
    const [before, own] = [this.clipsFor('before', engine), this.clipsFor(side, engine)]
    return this.#change(engine.trim(), async (text) => {
      const started = text === null ? await this.#hearing.startLog(engine.trim()) : { ok: text }
      if ('refused' in started) return started
      return this.#hearing.addTrials(
        started.ok,
        form,
        own,
        side === 'after' ? before : [],
        dayText(new Date()),
        this.#rules,
      )
    })
  }

  async undo(): Promise<void> {
    const { shown } = this
    if (shown) await this.#changeShown((text) => this.#hearing.undoInLog(text, this.#rules))
  }

  /** Corrects a trial of the log that is shown. @returns what is wrong; null when it is done */
  edit(number: number, edits: TrialEdits): Promise<string | null> {
    const { engine, text } = this.shown!
    return this.#change(engine, (now) => this.#hearing.editInLog(now ?? text, number, edits, this.#rules))
  }

  /** What to try next by the log that is shown. */
  next(): Promise<Outcome<NextAnswer>> {
    return this.#hearing.next(this.shown!.text, this.#rules)
  }

  /** Changes the log that is shown, and says so where it cannot be. */
  async #changeShown(change: (text: string) => Promise<Outcome<LogOutcome>>): Promise<void> {
    const { shown } = this
    if (!shown) return
    const wrong = await this.#change(shown.engine, (text) => change(text ?? shown.text))
    if (wrong !== null) this.#store.complain(wrong)
  }

  /** Takes in a log from a file. One of the same engine that is here already stays under another name. */
  async import(file: File): Promise<void> {
    const bytes = new Uint8Array(await file.arrayBuffer())
    const outcome = await this.#hearing.importLog(bytes, this.#rules)
    if ('refused' in outcome) return this.#store.complain(`${file.name}: ${refusalText(outcome.refused)}`)
    const { engine } = outcome.ok.view
    const wrong = await this.#change(engine, async (former) => {
      const isKept = former === null || former === outcome.ok.text || (await this.#keepFormer(engine, former))
      return isKept ? outcome : { refused: { message: NO_ROOM, hint: null } }
    })
    if (wrong !== null) this.#store.complain(wrong)
  }

  /**
   * Keeps the text of a log under a name that is free. One that cannot be read is kept too, though it cannot be shown: what is
   * damaged may be mended.
   *
   * @returns false where there is no room
   */
  async #keepFormer(engine: string, text: string): Promise<boolean> {
    const now = new Date()
    const name = `${engine}, as it was here on ${dayText(now)} ${now.toLocaleTimeString('en-GB')}`
    for (let n = 1; ; n++) {
      const free = n === 1 ? name : `${name} (${n})`
      if (await this.#kept(free)) continue
      const written = await this.#write(free, null, text)
      if (written === 'no room') return false
      if (written === 'changed') continue
      await this.#photos.copy(engine, free)
      const outcome = await this.#hearing.viewLog(text, this.#rules)
      if ('ok' in outcome) this.#put({ engine: free, ...written, text, view: outcome.ok })
      else this.#putDamaged({ engine: free, text, why: refusalText(outcome.refused) })
      return true
    }
  }

  /** The log that is shown as files: its text, and beside it the photos, which YAML has no room for. */
  files(): readonly File[] {
    const { shown } = this
    if (!shown) return []
    const { engine, text, view } = shown
    const base = fileBase(engine)
    const photos = view.trials.flatMap((trial) => {
      const photo = this.#store.state.photos.get(photoKey(engine, trial))
      return photo ? [new File([photo], `${base}-trial-${trial.number}.jpg`, { type: photo.type })] : []
    })
    return [new File([text], `${base}.yaml`, { type: 'application/yaml' }), ...photos]
  }

  export(): void {
    const files = this.files()
    const [log, ...photos] = files
    if (!log) return
    for (const file of files) saveFile(file, file.name)
    const beside =
      photos.length === 0 ? '' : `, its photos beside it as ${listText(photos.map(({ name }) => name))}`
    this.#store.say(`The log of ${this.shown!.engine} is saved as ${log.name}${beside}.`)
  }

  /** Hands a log that cannot be read to the browser to save, as it is: it may be mended by hand. */
  exportDamaged({ engine, text }: DamagedLog): void {
    const name = `${fileBase(engine)}.yaml`
    saveFile(new File([text], name, { type: 'application/yaml' }), name)
    this.#store.say(`The log of ${engine} is saved as it is, as ${name}: mend it and import it.`)
  }

  /** Takes a log off the device with its photos, one that cannot be read too. */
  async remove({ engine, text }: LogState | DamagedLog): Promise<void> {
    const kept = await this.#kept(engine)
    const written = await this.#write(engine, kept, null)
    if (written === 'changed') return this.#store.complain(CHANGED_ELSEWHERE)
    this.#drop(engine)
    const photos = await this.#photos.take(engine)
    const back = () =>
      void this.#putBack(engine, null, kept?.text ?? text).then(() => this.#photos.putBack(photos))
    this.#store.say(`The log of ${engine} is removed from this device.`, back)
  }

  /**
   * Changes a log on what is kept of it now. Where another page writes while the change is made, it is made again on
   * what that one wrote, so that neither is lost.
   *
   * @returns what is wrong; null when it is done
   */
  async #change(engine: string, change: LogChange): Promise<string | null> {
    for (;;) {
      const before = await this.#kept(engine)
      const outcome = await change(before?.text ?? null)
      if ('refused' in outcome) return refusalText(outcome.refused)
      const { text, view, said, spoken = '' } = outcome.ok
      // Noted with the clips, so that none is kept here again.
      const names = 'names' in outcome.ok ? [...outcome.ok.names] : []
      const named = new Map(names.map(([id, as]) => [id, { engine, as }]))
      const written = await this.#write(engine, before, text, named)
      if (written === 'no room') return NO_ROOM
      if (written === 'changed') continue
      for (const [id, logged] of named) this.#store.changeClip(id, { logged })
      this.#put({ engine, ...written, text, view })
      this.#store.set({ engine, spoken })
      if (said) this.#store.say(said, () => void this.#putBack(engine, written, before?.text ?? null))
      return null
    }
  }

  /** @returns what is kept now, null for a log taken away, or why nothing was written */
  async #write(
    engine: string,
    before: KeptLog | null,
    text: string | null,
    named?: ReadonlyMap<string, LoggedAs>,
  ): Promise<KeptLog | null | 'changed' | 'no room'> {
    if (!this.#database) return text === null ? null : { engine, text }
    try {
      const written = await replaceLog(this.#database, engine, before, text, named)
      if (written === undefined) return 'changed'
      this.#others?.postMessage(engine)
      return written
    } catch {
      return 'no room'
    }
  }

  /** Takes a change back, unless another page has written since. @param text null where there was no log */
  async #putBack(engine: string, written: KeptLog | null, text: string | null): Promise<void> {
    const done = await this.#write(engine, written, text)
    if (done === 'changed') return this.#store.complain(CHANGED_ELSEWHERE)
    if (done === 'no room') return this.#store.complain(NO_ROOM)
    if (text === null) this.#drop(engine)
    else {
      const outcome = await this.#hearing.viewLog(text, this.#rules)
      if ('ok' in outcome) {
        this.#put({ engine, ...done, text, view: outcome.ok })
        this.#store.set({ engine })
      } else this.#putDamaged({ engine, text, why: refusalText(outcome.refused) })
    }
    this.#store.say('Taken back.')
  }

  #drop(engine: string): void {
    const { state } = this.#store
    this.#store.set({
      logs: state.logs.filter((log) => log.engine !== engine),
      damagedLogs: state.damagedLogs.filter((log) => log.engine !== engine),
      engine: state.engine === engine ? null : state.engine,
      planned: state.planned?.engine === engine ? null : state.planned,
    })
  }

  /** What is kept of a log; where the browser keeps nothing, what the page holds. */
  async #kept(engine: string): Promise<KeptLog | null> {
    if (this.#database) return (await this.#database.get('logs', engine)) ?? null
    return this.#store.state.logs.find((log) => log.engine === engine) ?? null
  }

  #put(...changed: readonly LogState[]): void {
    const { logs } = this.#store.state
    const now = logs.map((old) => changed.find(({ engine }) => engine === old.engine) ?? old)
    const added = changed.filter(({ engine }) => !logs.some((old) => old.engine === engine))
    const isMended = (engine: string) => changed.some((log) => log.engine === engine)
    const damagedLogs = this.#store.state.damagedLogs.filter(({ engine }) => !isMended(engine))
    this.#store.set({ logs: [...now, ...added], damagedLogs })
  }

  #putDamaged(log: DamagedLog): void {
    this.#store.set({ damagedLogs: [...this.#store.state.damagedLogs, log] })
  }

  /** Clips of a side that a new trial of an engine holds: those that are heard and stand in no trial of it yet. */
  clipsFor(side: Clip['side'], engine: string): { id: string; name: string }[] {
    const log = this.#store.state.logs.find((one) => one.engine === engine.trim()) ?? null
    return this.#store.state.clips
      .filter((clip) => clip.side === side && clip.status.kind === 'heard' && trialIn(log, clip) === null)
      .map(({ id, name, span }) => ({
        id,
        name: span ? `${name} (${span.fromS.toFixed(1)} to ${span.toS.toFixed(1)} s)` : name,
      }))
  }
}

/** Number of the trial of a log that a clip stands in, also where it was cut or heard anew since; null where it stands in none. */
function trialIn(log: LogState | null, { status, logged }: Clip): number | null {
  const mark = status.kind === 'heard' ? status.answer.mark : null
  const isIt = ({ marks, clips }: TrialView) =>
    (mark !== null && marks.includes(mark)) ||
    (logged?.engine === log?.engine && clips.includes(logged?.as ?? ''))
  return log?.view.trials.find(isIt)?.number ?? null
}

/** The name of an engine as that of a file, without its ending. */
function fileBase(engine: string): string {
  return engine.replace(/[^\p{L}\p{N}]+/gu, '-').replace(/^-|-$/g, '') || 'engine'
}

const NO_ROOM =
  'This could not be kept, the browser has no room left: export the log, remove clips and try again.'
const CHANGED_ELSEWHERE =
  'Nothing is done: the log was changed meanwhile in another window. Look at it and try again.'
