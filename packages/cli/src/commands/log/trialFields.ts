import type { NewTrial } from '@everyrev/core/tuning'
import { CommanderError } from 'commander'
import { EXIT } from '../../exit.js'

/** Options of `log add` and `log edit` that say how a ride was. */
export interface TrialOptions {
  readonly air?: string
  readonly head?: string
  readonly warm?: true
  readonly cold?: true
  readonly pull?: string
  readonly pullFirst?: string
  readonly pulling?: string
  readonly trouble?: string
  readonly runningIn?: true
  readonly noise?: string
  readonly load?: string
  readonly weather?: string
  readonly note?: string
}

/** The fields as the log names them; absent where the option is. What does not fit is the log's to refuse. */
export function trialFields(options: TrialOptions): Partial<NewTrial> {
  if (options.warm && options.cold)
    throw new CommanderError(
      EXIT.usage,
      'everyrev.conflict',
      '--warm and --cold contradict each other; give one',
    )
  const { air, head, pull, pullFirst, pulling, trouble, runningIn, noise, load, weather, note } = options
  const engine = options.warm ? 'warm' : options.cold ? 'cold' : undefined
  const fields = {
    air,
    head,
    engine,
    pull,
    pullFirst,
    pulling,
    trouble,
    runningIn,
    noise,
    load,
    weather,
    note,
  }
  return Object.fromEntries(
    Object.entries(fields).filter(([, value]) => value !== undefined),
  ) as Partial<NewTrial>
}
