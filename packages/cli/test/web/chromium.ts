import { existsSync } from 'node:fs'
import { type Browser, chromium } from 'playwright-core'

/** Where Debian's package `chromium` puts the program; another one by the environment. */
const PROGRAM = process.env.EVERYREV_CHROMIUM ?? '/usr/bin/chromium'

/** Tests of pages need a browser; without one they skip and say so. */
export const hasChromium = existsSync(PROGRAM)
export const WITHOUT_CHROMIUM = `no browser at ${PROGRAM}: install chromium, or say where in EVERYREV_CHROMIUM`

const QUIET = [
  '--no-sandbox',
  '--disable-gpu',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
]

/** A headless browser that asks nothing of the network by itself. */
export function startChromium(more: readonly string[] = []): Promise<Browser> {
  return chromium.launch({ executablePath: PROGRAM, args: [...QUIET, ...more] })
}
