import { existsSync } from 'node:fs'
import { basename, dirname, isAbsolute, relative, resolve, sep } from 'node:path'
import type { Analysis } from '@everyrev/core'
import type { TuningLog } from '@everyrev/core/tuning'
import { FASTEST_RPM, SLOWEST_RPM } from '../../clip/constants.js'
import { FileError } from '../../exit.js'

/** A clip's name as the log keeps it: relative to the log where it lies beside or below it. */
export function clipName(logFile: string, clip: string): string {
  const inside = relative(dirname(resolve(logFile)), resolve(clip))
  return inside.startsWith('..') || isAbsolute(inside) ? resolve(clip) : inside.split(sep).join('/')
}

/** Where a clip of the log lies; null when it is not there. */
export function clipPath(logFile: string, name: string): string | null {
  const beside = dirname(resolve(logFile))
  return [resolve(beside, name), resolve(beside, basename(name))].find((path) => existsSync(path)) ?? null
}

/** Hears clips by name, each once. */
export function clipListener(logFile: string, log: TuningLog, progress: boolean) {
  const heard = new Map<string, Promise<Analysis>>()
  const expectRpm = expected(log)
  return (name: string): Promise<Analysis> => {
    const path = clipPath(logFile, name) ?? name
    const known = heard.get(path)
    if (known) return known
    const fresh = import('../../jobs/listen.js')
      .then(({ listen }) => listen(path, { progress, ...(expectRpm && { expectRpm }) }))
      .catch((error: unknown) => {
        throw new FileError(path, error)
      })
    heard.set(path, fresh)
    return fresh
  }
}

/** The speed the engine ran at in the log so far, which settles twice or half of it; undefined without a trial. */
function expected({ trials }: TuningLog): readonly [number, number] | undefined {
  const speeds = trials.flatMap(({ heard }) => heard.map(({ rpm }) => rpm))
  if (speeds.length < 2) return undefined
  return [
    Math.max(SLOWEST_RPM, Math.round(Math.min(...speeds) / 1.25)),
    Math.min(FASTEST_RPM, Math.round(Math.max(...speeds) * 1.25)),
  ]
}
