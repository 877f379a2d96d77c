import { existsSync, mkdirSync, readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { type Browser, chromium, type Page } from 'playwright-core'

/** Debian's browser; `.ci/run` installs it. */
const CHROMIUM = '/usr/bin/chromium'

export const HAS_CHROMIUM = existsSync(CHROMIUM)
export const NO_CHROMIUM = 'chromium is not installed, so no page can be opened'

/** Where tests leave pictures of pages for people to look at, if EVERYREV_PICTURES is set; drawing them takes a while. */
const PICTURES = fileURLToPath(new URL('../../../../test-output', import.meta.url))

/** Sizes a page has to work at: a phone and a small laptop, in light and in dark. */
export const LOOKS = [
  { width: 390, height: 844, colorScheme: 'light' },
  { width: 390, height: 844, colorScheme: 'dark' },
  { width: 1280, height: 800, colorScheme: 'light' },
  { width: 1280, height: 800, colorScheme: 'dark' },
] as const
export interface Look {
  readonly width: number
  readonly height: number
  readonly colorScheme: 'light' | 'dark'
}

export function launch(args: readonly string[] = []): Promise<Browser> {
  return chromium.launch({
    executablePath: CHROMIUM,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      ...args,
    ],
  })
}

export interface OpenPage {
  readonly page: Page
  /** What the page told the console or threw, and whatever it asked the network for. */
  readonly complaints: readonly string[]
}

/** Opens a file from disk with the network off. */
export async function openFile(browser: Browser, path: string, look: Look): Promise<OpenPage> {
  const { width, height, colorScheme } = look
  const page = await browser.newPage({ viewport: { width, height }, colorScheme, offline: true })
  const complaints: string[] = []
  page.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') complaints.push(message.text())
  })
  page.on('pageerror', (error) => complaints.push(String(error)))
  page.on('request', (request) => {
    if (/^(https?|wss?):/.test(request.url())) complaints.push(`asked for ${request.url()}`)
  })
  await page.goto(pathToFileURL(path).href)
  return { page, complaints }
}

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

/**
 * What axe-core finds wrong, one line a rule and place; all its rules, the WCAG 2.2 ones among them.
 *
 * @param more rules beyond these, as `color-contrast-enhanced`, the AAA one
 */
export async function violations(page: Page, more: readonly string[] = []): Promise<string[]> {
  if (await page.evaluate(() => !('axe' in globalThis))) await page.evaluate(AXE)
  const enabled = Object.fromEntries(['target-size', ...more].map((rule) => [rule, { enabled: true }]))
  return page.evaluate(async (rules) => {
    const { axe } = globalThis as unknown as {
      axe: { run(context: unknown, options: object): Promise<AxeResults> }
    }
    const results = await axe.run(document, { rules })
    return results.violations.flatMap(({ id, nodes }) =>
      nodes.map(({ target }) => `${id}: ${target.join(' ')}`),
    )
  }, enabled)
}

interface AxeResults {
  readonly violations: readonly {
    readonly id: string
    readonly nodes: readonly { readonly target: string[] }[]
  }[]
}

/** Keeps a picture of the page, the whole of it or what is in sight, where pictures are wanted. */
export async function keepPicture(page: Page, name: string, fullPage = false): Promise<void> {
  if (!process.env.EVERYREV_PICTURES) return
  mkdirSync(PICTURES, { recursive: true })
  await page.screenshot({ path: `${PICTURES}/${name}.png`, fullPage })
}

/** As in `390-dark`. */
export function nameOf({ width, colorScheme }: Look): string {
  return `${width}-${colorScheme}`
}
