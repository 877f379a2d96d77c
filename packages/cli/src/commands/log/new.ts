import { checkSettingNames, newLogText, parseLog, readLog } from '@everyrev/core/tuning'
import { CommanderError } from 'commander'
import { EXIT } from '../../exit.js'
import { createLogFile } from '../../io/logFile.js'
import { escapeControls } from '../../render/escape.js'
import { namingFlag } from './namingFlag.js'

export interface NewOptions {
  readonly engine: string
  readonly set?: readonly string[]
  readonly [field: string]: string | readonly string[] | undefined
}

const FIELDS = [
  'bore',
  'stroke',
  'rod',
  'shaft',
  'key',
  'flywheel',
  'notches',
  'rotation',
  'primary',
  'sprockets',
  'wheel',
  'slip',
  'headLimit',
] as const

/** `log new`: writes the engine as built; refuses to write over a file. */
export async function newLog(file: string, options: NewOptions): Promise<void> {
  const given = FIELDS.filter((field) => options[field] !== undefined)
  const parts: Readonly<Record<string, unknown>> = {
    ...Object.fromEntries(given.map((field) => [field, fieldValue(field, options[field])])),
    settings: (options.set ?? []).map(splitSetting),
  }
  const textOf = ({ settings = [], ...engine }: typeof parts): string => {
    const pairs = settings as ReturnType<typeof splitSetting>[]
    checkSettingNames(pairs.map(([name]) => name))
    const log = { engine: { name: options.engine, ...engine }, settings: Object.fromEntries(pairs) }
    const written = newLogText(log as Parameters<typeof newLogText>[0])
    readLog(written)
    return written
  }
  const text = namingFlag(parts, textOf, () => textOf(parts))
  await createLogFile(file, text)
  const [name, engineName] = [file, String(parseLog(text).file.engine.name)].map(escapeControls)
  process.stdout.write(
    `Started ${name} for ${engineName}.\nNext: ride it as it is, warm, and add that with everyrev log add ${name} --clip RIDE.m4a --head 170C --warm\n`,
  )
}

function splitSetting(text: string): [string, string] {
  const match = /^([^:]+):\s*(.+)$/.exec(text)
  if (match) return [match[1]!.trim(), match[2]!.trim()]
  throw new CommanderError(
    EXIT.usage,
    'everyrev.setting',
    `--set: “${text}” is no setting (write it as in "plug gap: 0.6 mm")`,
  )
}

/** Other words for which way the crank turns. */
const ROTATIONS: Readonly<Record<string, string>> = {
  cw: 'clockwise',
  ccw: 'anticlockwise',
  counterclockwise: 'anticlockwise',
}

/** Notches are counted, the rotation has two names; everything else is kept as it was written. */
function fieldValue(field: string, written: unknown): unknown {
  const text = String(written)
  if (field === 'notches' && /^\d+$/.test(text)) return Number(text)
  return field === 'rotation' ? (ROTATIONS[text.toLowerCase()] ?? text.toLowerCase()) : written
}
