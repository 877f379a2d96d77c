import {
  historyOf,
  type KnobValue,
  parseLog,
  readLog,
  type Setting,
  squishAt,
  type TuningLog,
} from '@everyrev/core/tuning'
import { fieldOf, type Given } from './inputs.js'
import type { LOG_OPTIONS } from './logOptions.js'
import type { Part } from './parts.js'

/** What a tuning log knows, by option without its dashes; absent where it does not. */
export type KnownOptions = Readonly<Record<(typeof LOG_OPTIONS)[number], string | number | undefined>>

/**
 * What a tuning log knows of the options of `bench`: the engine as built, and what the knobs stood at on the last ride.
 *
 * @throws {LogError} for a text that is no log
 */
export function knownToLog(text: string): KnownOptions {
  const { engine } = parseLog(text).file
  const { log } = readLog(text)
  const stands = log.trials.at(-1)?.setting
  const [engineTeeth, wheelTeeth] = log.engine.sprockets ?? []
  return {
    bore: engine.bore,
    stroke: engine.stroke,
    rod: engine.rod,
    shaft: engine.shaft,
    'key-width': engine.key,
    rotation: engine.rotation,
    flywheel: engine.flywheel,
    primary: engine.primary,
    'engine-sprocket': engineTeeth,
    'wheel-sprocket': wheelTeeth,
    wheel: engine.wheel,
    slip: engine.slip,
    limit: engine.headLimit,
    already: stands?.get('flywheel key')?.text,
    squish: stands && squishText(log, stands),
    jet: stands?.get('main jet')?.text,
  }
}

/** The squish as it was written, or what it comes to with the gaskets taken out since; undefined where the log cannot tell. */
function squishText(log: TuningLog, stands: Setting): string | undefined {
  const written: KnobValue | undefined = stands.get('squish')
  const nowMm = squishAt(historyOf(log), stands)
  if (nowMm === null) return undefined
  return nowMm === written?.value ? written.text : `${Number(nowMm.toFixed(4))} mm`
}

/** What of it a part has an option for. */
export function knownOf(part: Part, known: KnownOptions): Given {
  const own = new Set(part.options.map(([flags]) => /^--([\w-]+)/.exec(flags)![1]!))
  const filled = Object.entries(known).filter(([name, value]) => own.has(name) && value !== undefined)
  return Object.fromEntries(filled.map(([name, value]) => [fieldOf(name), String(value)]))
}
