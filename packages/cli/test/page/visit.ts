import { readFileSync } from 'node:fs'
import { createServer, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { fileURLToPath } from 'node:url'
import type { Browser, BrowserContext, Download, Page } from 'playwright-core'
import { expect } from 'vitest'

const FIXTURES = fileURLToPath(new URL('../../../../fixtures/', import.meta.url))

export const fixture = (name: string): string => `${FIXTURES}${name}`

/** How long something may take to show itself: no test is about how soon a busy machine gets there. */
const PATIENCE_MS = 120_000

/** Serves one file as a page, as a host on the same machine does. */
export async function host(file: string): Promise<{ readonly server: Server; readonly url: string }> {
  const server = createServer((_, answer) => {
    answer.setHeader('content-type', 'text/html; charset=utf-8')
    answer.end(readFileSync(file))
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  return { server, url: `http://localhost:${(server.address() as AddressInfo).port}/` }
}

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
  {
    scheme = 'light',
    offline = true,
    locale = 'en-GB',
  }: { scheme?: 'light' | 'dark'; offline?: boolean; locale?: string } = {},
): Promise<Visit> {
  const context = await browser.newContext({
    viewport: { width: 390, height: 844 },
    deviceScaleFactor: 2,
    hasTouch: true,
    locale,
    colorScheme: scheme,
    offline,
  })
  context.setDefaultTimeout(PATIENCE_MS)
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
  await page.goto(url)
  await page.getByRole('button', { name: 'Record' }).waitFor()
  return { context, page, troubles }
}

/** Visits the page and acts on it; nothing that must not happen may have been noted down. */
export async function onVisit(
  browser: Browser,
  url: string,
  options: Parameters<typeof visit>[2],
  act: (visit: Visit) => Promise<void>,
): Promise<void> {
  const there = await visit(browser, url, options)
  try {
    await act(there)
    expect(there.troubles).toEqual([])
  } finally {
    await there.context.close()
  }
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
  await page.waitForFunction(() =>
    [...document.querySelectorAll('.clip')].every(
      (card) => !/Waiting|Reading|Listening/.test(card.textContent ?? ''),
    ),
  )
}

export interface KeptFigures {
  readonly name: string
  readonly misfireRatio: number | null
  /** Lower bound of its interval. */
  readonly low: number | null
  readonly rpm: number | null
}

/** What the page keeps of its clips: misfire ratio and crank speed by name. */
export function keptClips(page: Page): Promise<KeptFigures[]> {
  return page.evaluate(
    () =>
      new Promise<KeptFigures[]>((resolve, reject) => {
        const opening = indexedDB.open('everyrev')
        opening.onerror = () => reject(opening.error)
        opening.onsuccess = () => {
          const all = opening.result.transaction('clips').objectStore('clips').getAll()
          all.onsuccess = () => {
            opening.result.close()
            resolve(
              all.result
                .filter(({ kept }) => kept)
                .map(({ name, kept }) => ({
                  name,
                  misfireRatio: kept.score.misfireRatio.value,
                  low: kept.score.misfireRatio.low,
                  rpm: kept.medianRpm,
                })),
            )
          }
        }
      }),
  )
}

/** Fills in the form for a trial, keeps it and waits until the log shows it. */
export async function keepTrial(
  page: Page,
  { engine = 'cargo bicycle', from = '2', to = '3' }: { engine?: string; from?: string; to?: string } = {},
): Promise<void> {
  const trials = await page.locator('.trials li').count()
  await page.getByRole('button', { name: 'Keep a trial' }).click()
  await page.getByLabel('The one thing changed').waitFor()
  const name = page.getByLabel('What you call the engine')
  if (await name.count()) await name.fill(engine)
  await page.getByLabel('The one thing changed').selectOption('needle clip')
  await page.getByLabel('From', { exact: true }).fill(from)
  await page.getByLabel('To', { exact: true }).fill(to)
  await page.getByLabel('Head temperature').first().fill('176')
  await page.getByRole('button', { name: 'Keep', exact: true }).click()
  await page.waitForFunction((n) => document.querySelectorAll('.trials li').length > n, trials)
}

/** Imports a log from its text. */
export function bringLog(page: Page, text: string): Promise<void> {
  const file = { name: 'bike.yaml', mimeType: '', buffer: Buffer.from(text) }
  return page.setInputFiles('[aria-labelledby=log] input[multiple]', file)
}

/** Exports the log that is shown. */
export async function exportLog(page: Page): Promise<Download> {
  const exported = page.waitForEvent('download')
  await page.getByRole('button', { name: 'Export the log' }).click()
  return exported
}

/** Removes the log that is shown. */
export async function removeLog(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Remove the log' }).click()
  await page.getByRole('button', { name: 'Really remove it from this device' }).click()
}
