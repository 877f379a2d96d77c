import type { Outcome } from './pool.js'

/** What the program keeps to, whatever the file. */
export const BOUNDS = {
  /** Seconds a file of the fuzzer's size may take. One takes a second or less; machines that test can be busy. */
  tookS: 20,
  /** MB a process that hears one such file after the other may hold. */
  peakMb: 500,
} as const

// biome-ignore lint/suspicious/noControlCharactersInRegex: finding control characters is the purpose
const CONTROL = /[\u0000-\u001f\u007f-\u009f\u2028\u2029\u202a-\u202e]/

/** What is wrong with an outcome; null where nothing is. */
export function wrongWith(outcome: Outcome): string | null {
  if ('died' in outcome) return outcome.died
  if (outcome.isBug) return `a bug: ${outcome.told}`
  if (outcome.told !== null && CONTROL.test(outcome.told)) return `not one clean line: ${outcome.told}`
  if (outcome.tookS > BOUNDS.tookS) return `took ${outcome.tookS.toFixed(1)} s`
  if (outcome.peakMb > BOUNDS.peakMb) return `held ${outcome.peakMb.toFixed(0)} MB`
  return null
}

/** What is wrong with how the whole program ended; null where nothing is. */
export function wrongWithProgram({
  code,
  stderr,
  tookS,
}: {
  readonly code: number | null
  readonly stderr: string
  readonly tookS: number
}): string | null {
  if (code === null || ![0, 2, 3].includes(code)) return `exit code ${code}: ${stderr}`
  if (tookS > BOUNDS.tookS) return `took ${tookS.toFixed(1)} s`
  if (code === 2 && !/^everyrev: [^\n]+\n$/.test(stderr)) return `not one line: ${stderr}`
  return CONTROL.test(stderr.replaceAll('\n', '')) ? `control characters: ${stderr}` : null
}
