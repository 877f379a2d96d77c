import type { Outcome } from './types.js'

/** MB that a process which hears one file of the fuzzer's size after the other may hold, whatever the files. */
const MOST_MB = 500

// biome-ignore lint/suspicious/noControlCharactersInRegex: finding control characters is the purpose
const CONTROL = /[\u0000-\u001f\u007f-\u009f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]/
/** What a terminal obeys, line feeds aside. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: finding control characters is the purpose
export const RAW = /[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]/

/** What is wrong with an outcome; null where nothing is. */
export function wrongWith(outcome: Outcome): string | null {
  if ('died' in outcome) return outcome.died
  if (outcome.isBug) return `a bug: ${outcome.told}`
  if (outcome.problem !== null) return outcome.problem
  if (outcome.told !== null && CONTROL.test(outcome.told)) return `not one clean line: ${outcome.told}`
  if (outcome.peakMb > MOST_MB) return `held ${outcome.peakMb.toFixed(0)} MB`
  return null
}

/** How a program ended. */
interface Ending {
  readonly code: number | null
  readonly stderr: string
  readonly tookS: number
}

/** What is wrong with how the whole program ended; null where nothing is. */
export function wrongWithProgram({ code, stderr, tookS }: Ending): string | null {
  if (code === null || ![0, 2, 3].includes(code))
    return `exit code ${code} after ${tookS.toFixed(0)} s: ${stderr}`
  if (code === 2 && !/^everyrev: [^\n]+\n$/.test(stderr)) return `not one line: ${stderr}`
  return CONTROL.test(stderr.replaceAll('\n', '')) ? `control characters: ${stderr}` : null
}

/** What is wrong with how grading a folder ended: it says one clean line for each file it cannot read, or for all. */
export function wrongWithFolder({ code, stderr, tookS }: Ending): string | null {
  if (code === null || ![0, 2, 3].includes(code))
    return `exit code ${code} after ${tookS.toFixed(0)} s: ${stderr}`
  const lines = stderr.split('\n').filter((line) => line !== '')
  const odd = lines.find((line) => !line.startsWith('everyrev: ') || CONTROL.test(line))
  if (odd !== undefined || /this is a bug/.test(stderr)) return `it says ${stderr}`
  return null
}
