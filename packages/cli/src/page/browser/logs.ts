import type { LogOutcome, Outcome, TrialForm } from '../types.js'
import { saveFile } from './files.js'
import type { RemoteHearing } from './hearing.js'
import type { Shelf } from './keep.js'
import { refusalText } from './refusalText.js'
import type { Clip, LogState, Store } from './state.js'

/** Tuning logs on this device: one an engine, the text of each the YAML the command line reads. */
export class Logs {
  readonly #store: Store
  readonly #hearing: RemoteHearing
  readonly #shelf: Shelf | null

  constructor(store: Store, hearing: RemoteHearing, shelf: Shelf | null) {
    this.#store = store
    this.#hearing = hearing
    this.#shelf = shelf
  }

  get shown(): LogState | null {
    const { logs, engine } = this.#store.state
    return logs.find((log) => log.engine === engine) ?? logs[0] ?? null
  }

  async restore(): Promise<void> {
    for (const { engine, text } of (await this.#shelf?.getAll('logs')) ?? []) {
      const outcome = await this.#hearing.viewLog(text)
      if ('ok' in outcome) this.#put({ engine, text, view: outcome.ok })
      else this.#say(refusalText(outcome.refused), true)
    }
  }

  show(engine: string): void {
    this.#store.set({ engine })
  }

  /**
   * Keeps clips of one side as a trial; into an empty log, those before the change go in first, as the engine as built.
   *
   * @param engine name for a log that is not there yet
   * @returns what is wrong with the form; null when the trial is kept
   */
  async addTrial(form: TrialForm, side: 'before' | 'after', engine: string): Promise<string | null> {
    let text = await this.#latest()
    if (text === null) {
      const started = await this.#hearing.startLog(engine.trim())
      if ('refused' in started) return refusalText(started.refused)
      text = started.ok
    }
    const isFirst = (this.shown?.view.trials.length ?? 0) === 0
    const before = this.#clipsOf('before')
    if (isFirst && side === 'after' && before.length > 0) {
      const first = await this.#hearing.addToLog(text, AS_BUILT, before, today())
      if ('refused' in first) return refusalText(first.refused)
      text = first.ok.text
    }
    return this.#take(await this.#hearing.addToLog(text, form, this.#clipsOf(side), today()))
  }

  async undo(): Promise<void> {
    const text = await this.#latest()
    if (text !== null) await this.#take(await this.#hearing.undoInLog(text))
  }

  /** Takes in a log from a file. One of the same engine that is here already stays under another name. */
  async import(file: File): Promise<void> {
    const outcome = await this.#hearing.importLog(new Uint8Array(await file.arrayBuffer()))
    if ('refused' in outcome) return this.#say(`${file.name}: ${refusalText(outcome.refused)}`, true)
    const { engine } = outcome.ok.view
    const here = this.#store.state.logs.find((log) => log.engine === engine)
    if (here && here.text !== outcome.ok.text) {
      const name = `${engine}, as it was here on ${today()} ${new Date().toLocaleTimeString('en-GB')}`
      await this.#save({ ...here, engine: name })
    }
    await this.#take(outcome)
  }

  export(): void {
    const { shown } = this
    if (!shown) return
    const name = `${shown.engine.replace(/[^\p{L}\p{N}]+/gu, '-').replace(/^-|-$/g, '') || 'engine'}.yaml`
    saveFile(new Blob([shown.text], { type: 'application/yaml' }), name)
    this.#say(`The log of ${shown.engine} is saved as ${name}.`, false)
  }

  /** Takes the log that is shown off the device. */
  async remove(): Promise<void> {
    const { shown } = this
    if (!shown) return
    await this.#shelf?.delete('logs', shown.engine)
    this.#store.set({ logs: this.#store.state.logs.filter((log) => log !== shown), engine: null })
    this.#say(`The log of ${shown.engine} is removed from this device.`, false)
  }

  /** The text of the log that is shown, as kept last: the page may be open twice. */
  async #latest(): Promise<string | null> {
    const { shown } = this
    if (!shown) return null
    return (await this.#shelf?.get('logs', shown.engine))?.text ?? shown.text
  }

  async #take(outcome: Outcome<LogOutcome>): Promise<string | null> {
    if ('refused' in outcome) return refusalText(outcome.refused)
    const { text, view, said } = outcome.ok
    const engine = this.shown && view.engine === this.shown.view.engine ? this.shown.engine : view.engine
    await this.#save({ engine, text, view })
    this.#store.set({ engine })
    this.#say(said, false)
    return null
  }

  async #save(log: LogState): Promise<void> {
    this.#put(log)
    const { engine, text } = log
    await this.#shelf?.put('logs', { engine, text }).catch(() => {
      this.#say('The browser has no room left to keep this: export the log.', true)
    })
  }

  #put(log: LogState): void {
    const { logs } = this.#store.state
    const at = logs.findIndex(({ engine }) => engine === log.engine)
    this.#store.set({ logs: at < 0 ? [...logs, log] : logs.map((old, i) => (i === at ? log : old)) })
  }

  #clipsOf(side: Clip['side']): { id: string; name: string }[] {
    return this.#store.state.clips
      .filter((clip) => clip.side === side && clip.status.kind === 'heard')
      .map(({ id, name }) => ({ id, name }))
  }

  #say(said: string, isWrong: boolean): void {
    this.#store.set({ said, isWrong })
  }
}

const AS_BUILT: TrialForm = { change: '', air: '', head: '', engine: '', pull: '', trouble: '', note: '' }

/** Today by the rider's own clock, as in 2026-04-03. */
export function today(): string {
  const now = new Date()
  const two = (n: number) => String(n).padStart(2, '0')
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`
}
