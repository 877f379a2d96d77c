import { parseLog, readLog } from '@everyrev/core/tuning'
import { fieldOf, type Given } from './inputs.js'
import type { Part } from './parts.js'

/**
 * What a tuning log knows of the options of a part: the engine as built, and what the knobs stood at on the last ride.
 *
 * @throws {LogError} for a text that is no log
 */
export function knownToLog(text: string, part: Part): Given {
  const { engine } = parseLog(text).file
  const { log } = readLog(text)
  const stands = log.trials.at(-1)?.setting
  const [engineTeeth, wheelTeeth] = log.engine.sprockets ?? []
  const known: Readonly<Record<string, string | number | undefined>> = {
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
    squish: stands?.get('squish')?.text,
    jet: stands?.get('main jet')?.text,
  }
  const own = new Set(part.options.map(([flags]) => /^--([\w-]+)/.exec(flags)![1]!))
  const filled = Object.entries(known).filter(([name, value]) => own.has(name) && value !== undefined)
  return Object.fromEntries(filled.map(([name, value]) => [fieldOf(name), String(value)]))
}
