import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { fileURLToPath } from 'node:url'
import type { Browser, BrowserContext, Page } from 'playwright-core'

const FIXTURES = fileURLToPath(new URL('../../../../fixtures/', import.meta.url))
const SCREENSHOTS = fileURLToPath(new URL('./screenshots/', import.meta.url))
const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

export const fixture = (name: string): string => `${FIXTURES}${name}`

/** A visit of the page on a phone without a network, with everything that must not happen noted down. */
export interface Visit {
  readonly context: BrowserContext
  readonly page: Page
  /** Errors and warnings of the console, uncaught errors, requests that are for the network. */
  readonly troubles: string[]
}

export async function visit(
  browser: Browser,
  url: string,
  { scheme = 'light', offline = true }: { scheme?: 'light' | 'dark'; offline?: boolean } = {},
): Promise<Visit> {
  const context = await browser.newContext({
    viewport: { width: 390, height: 844 },
    deviceScaleFactor: 2,
    hasTouch: true,
    colorScheme: scheme,
    offline,
  })
  const page = await context.newPage()
  const troubles: string[] = []
  page.on('console', (line) => {
    if (line.type() === 'error' || line.type() === 'warning') troubles.push(`${line.type()}: ${line.text()}`)
  })
  page.on('pageerror', (error) => troubles.push(`uncaught: ${error.message}`))
  page.on('request', (request) => {
    if (!/^(file|blob|data):/.test(request.url()) && request.url() !== url)
      troubles.push(`request: ${request.url()}`)
  })
  await page.addInitScript(watchLongTasks)
  await page.goto(url)
  await page.getByRole('button', { name: 'Record' }).waitFor()
  return { context, page, troubles }
}

declare global {
  var longTasksMs: number[]
}

function watchLongTasks(): void {
  globalThis.longTasksMs = []
  new PerformanceObserver((list) => {
    for (const { duration } of list.getEntries()) globalThis.longTasksMs.push(duration)
  }).observe({ type: 'longtask', buffered: true })
}

/** The longest time the page's own thread was busy in one go, ms; 0 where never for 50 ms. */
export async function longestTaskMs(page: Page): Promise<number> {
  return Math.max(0, ...(await page.evaluate(() => globalThis.longTasksMs)))
}

/** Picks clips on one side and waits until all are heard or refused. */
export async function pick(
  page: Page,
  side: 'before' | 'after',
  files: Parameters<Page['setInputFiles']>[1],
) {
  const cards = page.locator('.clip')
  const count = Array.isArray(files) ? files.length : 1
  const before = await cards.count()
  await page.getByText(side === 'before' ? 'before the change' : 'after it', { exact: true }).click()
  await page.setInputFiles('.bar input[type=file]', files)
  await page.waitForFunction((n) => document.querySelectorAll('.clip').length === n, before + count)
  await page.waitForFunction(
    () =>
      [...document.querySelectorAll('.clip')].every(
        (card) =>
          card.querySelector('.listening') === null && !/Waiting|Reading/.test(card.textContent ?? ''),
      ),
    undefined,
    { timeout: 60_000 },
  )
}

/** What the page keeps of its clips: misfire ratio and crank speed by name. */
export function keptClips(
  page: Page,
): Promise<{ name: string; misfireRatio: number | null; rpm: number | null }[]> {
  return page.evaluate(
    () =>
      new Promise<{ name: string; misfireRatio: number | null; rpm: number | null }[]>((resolve, reject) => {
        const opening = indexedDB.open('everyrev')
        opening.onerror = () => reject(opening.error)
        opening.onsuccess = () => {
          const all = opening.result.transaction('clips').objectStore('clips').getAll()
          all.onsuccess = () => {
            opening.result.close()
            resolve(
              all.result.map(({ name, kept }) => ({
                name,
                misfireRatio: kept.score.misfireRatio.value,
                rpm: kept.medianRpm,
              })),
            )
          }
        }
      }),
  )
}

/** What axe-core has against the page as it stands, one line each: WCAG 2.2 AA, and its AAA contrast, for sunlight. */
export async function axeFindings(page: Page): Promise<string[]> {
  await page.evaluate(AXE)
  return page.evaluate(async () => {
    const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']
    const run = (
      globalThis as unknown as { axe: { run: (on: Document, options: unknown) => Promise<AxeResult> } }
    ).axe.run
    const { violations } = await run(document, {
      runOnly: tags,
      rules: { 'color-contrast-enhanced': { enabled: true } },
    })
    return violations.flatMap(({ id, nodes }) =>
      nodes.map(({ target, failureSummary }) => `${id}: ${target} ${failureSummary}`),
    )
  })
}

interface AxeResult {
  readonly violations: readonly {
    readonly id: string
    readonly nodes: readonly { readonly target: unknown; readonly failureSummary: string }[]
  }[]
}

/** Keeps a picture for people to look at. */
export async function shoot(page: Page, name: string): Promise<void> {
  await page.screenshot({ path: `${SCREENSHOTS}${name}.png` })
}
