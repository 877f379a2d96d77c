import pc from 'picocolors'
import type { TextStyle } from '../render/checkText.js'

/** Line lengths the text is laid out for. */
const NARROWEST = 40
const WIDEST = 120
const WITHOUT_TERMINAL = 80

/** Width and colours that fit the output: no colour in a pipe or under `NO_COLOR`, 80 columns where nothing is known. */
export function terminalStyle(stream: NodeJS.WriteStream, env: NodeJS.ProcessEnv): TextStyle {
  const width = stream.columns || Number.parseInt(env.COLUMNS ?? '', 10) || WITHOUT_TERMINAL
  const colored = stream.isTTY === true && !env.NO_COLOR && stream.hasColors(env)
  return { width: Math.min(WIDEST, Math.max(NARROWEST, width)), colors: pc.createColors(colored) }
}
