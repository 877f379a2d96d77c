import type { TuningLog } from '@everyrev/core/tuning'
import { CommanderError } from 'commander'
import { FASTEST_RPM, SLOWEST_RPM } from '../clip/constants.js'
import { EXIT, FileError } from '../exit.js'
import { rpmText } from '../render/numbers.js'

export interface RoadOptions {
  readonly expectRpm?: readonly [number, number]
  readonly roadSpeed?: string
  readonly log?: string
}

/** A rider's speedometer is seldom nearer than this, km/h, where no ± was given. Common practice, no source. */
const SPEED_SPREAD_KMH = 2
/** The band reaches this many times the ± of the crank speed, and at least so many percent. Chosen. */
const REACH = 2
const LEAST_REACH = 0.1

/**
 * The crank speeds to expect: as given, or from road speed and the gearing in a log.
 *
 * @returns `[low, high]`, rpm; undefined where nothing was given
 */
export async function expectedRpm(options: RoadOptions): Promise<readonly [number, number] | undefined> {
  const { expectRpm, roadSpeed, log } = options
  if (roadSpeed === undefined) {
    if (log !== undefined)
      throw refused('--log is for --road-speed, which is missing (as in --road-speed 25km/h)')
    return expectRpm
  }
  if (expectRpm) throw refused('--expect-rpm and --road-speed both say how fast it runs; give one')
  if (log === undefined) throw refused('--road-speed needs --log, a tuning log that knows gearing and wheel')
  const { parseQuantity } = await import('@everyrev/core')
  const speed = parseQuantity(roadSpeed, 'speed', '--road-speed')
  const plusMinus = speed.plusMinus || SPEED_SPREAD_KMH
  try {
    return await bandOf({ value: speed.value, plusMinus }, log)
  } catch (error) {
    throw new FileError(log, error)
  }
}

async function bandOf(
  speed: { readonly value: number; readonly plusMinus: number },
  file: string,
): Promise<readonly [number, number]> {
  const [{ crankRpm, InputError, propagate }, { readLog }, { readLogFile }] = await Promise.all([
    import('@everyrev/core'),
    import('@everyrev/core/tuning'),
    import('../io/logFile.js'),
  ])
  const { log } = readLog(await readLogFile(file))
  const { primary, rollOut, slip } = log.engine
  const teeth = teethOf(log)
  const lacking = [
    [primary, 'primary'],
    [teeth, 'sprockets'],
    [rollOut, 'wheel'],
  ].flatMap(([value, name]) => (value === null ? [name as string] : []))
  if (primary === null || teeth === null || rollOut === null)
    throw new InputError(
      'unreadable',
      `does not say ${lacking.join(', ')}, so road speed says nothing of crank speed`,
      'write it under engine, as in primary: 4.1, sprockets: 10/44, wheel: 57-559',
    )
  const [engineTeeth, wheelTeeth] = teeth
  const crank = propagate(
    (kmh, rollOutMm) => crankRpm(kmh!, { primary, engineTeeth, wheelTeeth, rollOutMm: rollOutMm!, slip }),
    speed,
    rollOut,
  )
  if (!(crank.value >= SLOWEST_RPM && crank.value <= FASTEST_RPM))
    throw new InputError(
      'unreadable',
      `by its gearing the crank would turn ${rpmText(crank.value)} times a minute at ${Math.round(speed.value)} km/h, which cannot be`,
      'check --road-speed, and primary, sprockets and wheel in the log',
    )
  const reach = Math.max(REACH * crank.plusMinus, LEAST_REACH * crank.value)
  return [
    Math.max(SLOWEST_RPM, Math.round(crank.value - reach)),
    Math.min(FASTEST_RPM, Math.round(crank.value + reach)),
  ]
}

/** Teeth as built, or as the last trial left them. */
function teethOf({ engine, trials }: TuningLog): readonly [number, number] | null {
  const now = trials.at(-1)?.setting
  const engineTeeth = now?.get('engine sprocket')?.value ?? engine.sprockets?.[0]
  const wheelTeeth = now?.get('wheel sprocket')?.value ?? engine.sprockets?.[1]
  return engineTeeth && wheelTeeth ? [engineTeeth, wheelTeeth] : null
}

const refused = (message: string): CommanderError =>
  new CommanderError(EXIT.usage, 'everyrev.conflict', message)
