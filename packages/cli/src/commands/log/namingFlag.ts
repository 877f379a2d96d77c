import { AnalysisError, OptionError } from '@everyrev/core/errors'
import { LogError } from '@everyrev/core/tuning'

/**
 * Does something with what several flags say; where it is refused, the flag that is to blame stands in front: the first whose
 * value is refused alone too, else the one that the refusal names. What is refused with none of them is no flag's fault.
 *
 * @param given what each flag says, by the name the log has for it; undefined where a flag is absent
 * @param alone does the same with one of them
 */
export function namingFlag<T, G extends Readonly<Record<string, unknown>>>(
  given: G,
  alone: (one: Partial<G>) => unknown,
  act: () => T,
): T {
  try {
    return act()
  } catch (refused) {
    const without = refusalOf(() => alone({}))
    if (without !== null && without === refusalText(refused)) throw refused
    for (const [name, value] of Object.entries(given)) {
      if (value === undefined) continue
      try {
        alone({ [name]: value } as Partial<G>)
      } catch (error) {
        if (error instanceof AnalysisError) throw ofFlag(name, error)
      }
    }
    const blamed = Object.keys(given).find(
      (name) => refused instanceof LogError && refused.problem.startsWith(`${name}: `),
    )
    throw blamed === undefined ? refused : ofFlag(blamed, refused as LogError)
  }
}

function refusalOf(act: () => unknown): string | null {
  try {
    act()
    return null
  } catch (error) {
    return refusalText(error)
  }
}

const refusalText = (error: unknown): string | null => (error instanceof AnalysisError ? error.message : null)

function ofFlag(name: string, error: AnalysisError): OptionError {
  const message = error instanceof LogError ? error.problem : error.message
  // How to mend a line of the file is no help where nothing was written yet.
  const hint = error.hint?.startsWith('mend that line') ? undefined : error.hint
  return new OptionError('out-of-range', `${flagOf(name)}: ${message.replace(`${name}: `, '')}`, hint)
}

/** Fields of the log that the command line has another name for. */
const FLAGS: Readonly<Record<string, string>> = { settings: '--set', engine: '--warm or --cold' }

const flagOf = (name: string): string =>
  FLAGS[name] ?? `--${name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)}`
