import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { historyOf, readLog } from '@everyrev/core/tuning'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { groupRows } from '../../src/grade/groups.js'
import { sortRows } from '../../src/grade/order.js'
import type { StripSegment } from '../../src/grade/stripSegments.js'
import { gradePage } from '../../src/report/pages/gradePage.js'
import { logPage } from '../../src/report/pages/logPage.js'
import { htmlDocument } from '../../src/web/document.js'
import {
  HAS_CHROMIUM,
  keepPicture,
  LOOKS,
  launch,
  NO_CHROMIUM,
  nameOf,
  openFile,
  violations,
} from '../web/browser.js'
import { madeRow, refused } from './madeRows.js'

const ROWS = [...Array.from({ length: 497 }, (_, k) => madeRow(k)), ...[1, 2, 3].map(refused)]
const STRIPS = new Map<string, readonly StripSegment[]>(
  ROWS.filter(({ durationS }) => durationS !== null).map(({ file, skipped }) => [
    file,
    [
      { startS: 0, endS: 2, skipped: undefined },
      { startS: 2, endS: 6, skipped: skipped.value },
      { startS: 6, endS: 8, skipped: null },
      { startS: 8, endS: 12, skipped: 0.5 },
    ],
  ]),
)

describe.skipIf(!HAS_CHROMIUM)(`pages of tables${HAS_CHROMIUM ? '' : `: skipped, ${NO_CHROMIUM}`}`, () => {
  let browser: Browser
  let folder: string
  let gradeFile: string
  let logFile: string

  beforeAll(async () => {
    browser = await launch()
    folder = mkdtempSync(join(tmpdir(), 'everyrev-tables-'))
    gradeFile = join(folder, 'grade.html')
    logFile = join(folder, 'log.html')
    const aside = { fromCache: 3, passedOver: 2 }
    const page = gradePage({
      rows: sortRows(ROWS, 'worst'),
      groups: groupRows(ROWS),
      strips: STRIPS,
      ...aside,
    })
    writeFileSync(gradeFile, await htmlDocument(page))
    const log = readFileSync(
      fileURLToPath(new URL('../../../../fixtures/cargo-bicycle.yaml', import.meta.url)),
      'utf8',
    )
    const { log: read, warnings } = readLog(log)
    writeFileSync(logFile, await htmlDocument(logPage(historyOf(read), warnings)))
  })
  afterAll(async () => {
    await browser.close()
    rmSync(folder, { recursive: true })
  })

  for (const look of LOOKS) {
    test(`grade, ${nameOf(look)}: sorts and filters 500 clips, clean for axe-core`, async () => {
      const { page, complaints } = await openFile(browser, gradeFile, look)
      await keepPicture(page, `grade-${nameOf(look)}`)
      expect(await violations(page)).toEqual([])
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(look.width)
      const choice = page.locator('#sort-choice')
      if (await choice.isVisible()) await choice.selectOption({ label: 'clip' })
      else await page.click('.sort[data-column="0"]')
      expect(await shownNames(page)).toEqual(sortRows(ROWS, 'name').map(({ file }) => file))
      await page.fill('#name-filter', 'clip-12')
      expect((await shownNames(page)).every((name) => name.includes('clip-12'))).toBe(true)
      expect(await page.textContent('#count')).toMatch(/^\d+ of 500 clips$/)
      await page.fill('#name-filter', '')
      await page.selectOption('#grade-filter', 'unreadable')
      expect(await shownNames(page)).toHaveLength(3)
      expect(await violations(page)).toEqual([])
      expect(complaints).toEqual([])
      await page.close()
    })

    test(`log, ${nameOf(look)}: clean for axe-core, without a script`, async () => {
      const { page, complaints } = await openFile(browser, logFile, look)
      await keepPicture(page, `log-${nameOf(look)}-whole`, true)
      expect(await violations(page)).toEqual([])
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(look.width)
      expect(await page.locator('script').count()).toBe(0)
      expect(await outOfSight(page)).toEqual([])
      expect(complaints).toEqual([])
      await page.close()
    })
  }

  test('by share the clips without one come last, both ways', async () => {
    const { page } = await openFile(browser, gradeFile, LOOKS[2])
    for (const way of ['descending', 'ascending']) {
      await page.click('.sort[data-column="1"]')
      expect(await page.getAttribute('th.col-1', 'aria-sort')).toBe(way)
      const shares = await page.locator('td.col-1').allTextContents()
      // An unsure one shows its bounds alone.
      const told = shares.filter((text) => text !== '-' && !text.includes(' to '))
      const values = told.map((text) => Number.parseInt(text, 10))
      expect(values.length).toBeGreaterThan(10)
      expect(shares.slice(-3)).toEqual(['-', '-', '-'])
      expect(values).toEqual(values.toSorted((a, b) => (way === 'descending' ? b - a : a - b)))
    }
    await page.close()
  })
})

/** Cells and letters of plots that stand out of the screen to the side. */
function outOfSight(page: Page): Promise<string[]> {
  return page.evaluate(() =>
    [...document.querySelectorAll('th, td, svg text')]
      .filter((element) => {
        const { left, right, width } = element.getBoundingClientRect()
        const head = element.closest('thead')
        if (head && getComputedStyle(head).position === 'absolute') return false // read by screen readers alone
        return width > 1 && (left < 0 || right > innerWidth)
      })
      .map(({ textContent }) => textContent),
  )
}

function shownNames(page: Page): Promise<string[]> {
  return page.evaluate(() =>
    [...document.querySelectorAll('#clips tbody tr:not([hidden]) th')].map(
      (cell) => cell.firstChild!.textContent!,
    ),
  )
}
