import { existsSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import puppeteer, { type Browser, type Page } from 'puppeteer-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { installablePage } from '../../src/page/installable.js'
import { servePage } from '../../src/page/serve.js'
import { runProgram } from '../check/runProgram.js'
import { fixture } from './visit.js'

/** Debian's browser, as it is; `.ci/run` installs it. It is driven by WebDriver BiDi, which playwright-core does not speak to it. */
const FIREFOX = '/usr/bin/firefox-esr'
const HAS_FIREFOX = existsSync(FIREFOX)
const FROM_DISK = pathToFileURL(fileURLToPath(new URL('../../dist/everyrev.html', import.meta.url))).href

if (!HAS_FIREFOX) console.warn('pages are not tested in Firefox: firefox-esr is not installed')

describe.skipIf(!HAS_FIREFOX)('in Firefox', () => {
  const folder = mkdtempSync(join(tmpdir(), 'everyrev-firefox-'))
  let browser: Browser

  beforeAll(async () => {
    browser = await puppeteer.launch({
      browser: 'firefox',
      executablePath: FIREFOX,
      headless: true,
      extraPrefsFirefox: { 'intl.accept_languages': 'en-GB' },
    })
  })

  afterAll(async () => {
    await browser?.close()
    rmSync(folder, { recursive: true, force: true })
  })

  async function open(url: string): Promise<{ page: Page; troubles: string[] }> {
    const page = await browser.newPage()
    const troubles: string[] = []
    page.on('console', (line) => {
      if (line.type() === 'error') troubles.push(line.text())
    })
    page.on('pageerror', (error) => troubles.push((error as Error).message))
    await page.setViewport({ width: 390, height: 844 })
    await page.goto(url)
    return { page, troubles }
  }

  it.each(['disk', 'a web host'])(
    'the page hears, compares, keeps and is there after a reload, from %s',
    async (from) => {
      const url = from === 'disk' ? FROM_DISK : (await servePage(await installablePage(), 0)).url
      const { page, troubles } = await open(url)
      await pick(page, 'before', 'cruise-needle-clip-2.wav')
      await pick(page, 'after', 'cruise-needle-clip-3.wav')
      await page.locator('.verdict').wait()
      await page.locator('.answer-card .main').click()
      await page.locator('form input[required]').fill('cargo bicycle')
      await page.locator('form select').fill('needle clip')
      const [first, second] = await numberFields(page)
      await first!.type('2')
      await second!.type('3')
      await page.locator('form button[type=submit]').click()
      await page.locator('.kept').wait()
      await page.reload()
      await page.locator('.trials li').wait()
      const trials = await page.$$eval('.trials li b', (found) => found.map(({ textContent }) => textContent))
      expect(trials).toEqual(['2. needle clip 2 -> 3 from bottom', '1. as built'])
      await page.locator('.clip').wait()
      expect(await page.$$eval('.clip', ({ length }) => length)).toBe(2)
      expect(troubles).toEqual([])
      await page.close()
    },
  )

  it('the report of a clip shows and plays every turn', async () => {
    const report = join(folder, 'report.html')
    const { code } = await runProgram(['check', fixture('cruise-needle-clip-2.wav'), '--html', report])
    expect(code).toBe(0)
    const { page, troubles } = await open(pathToFileURL(report).href)
    await page.locator('#plots canvas').wait()
    const before = await page.$eval('#turn', ({ textContent }) => textContent)
    await page.locator('#next').click()
    await page.waitForFunction((text) => document.querySelector('#turn')!.textContent !== text, {}, before)
    expect(await page.$eval('html', ({ scrollWidth, clientWidth }) => scrollWidth <= clientWidth)).toBe(true)
    expect(troubles).toEqual([])
    await page.close()
  })
})

const numberFields = (page: Page) => page.$$('form fieldset .number-field input')

async function pick(page: Page, side: 'before' | 'after', clip: string): Promise<void> {
  await page.locator(`.bar input[value=${side}] + span`).click()
  const input = await page.$('.bar input[type=file]')
  await (input as import('puppeteer-core').ElementHandle<HTMLInputElement>).uploadFile(fixture(clip))
  await page.waitForFunction(
    (name) => {
      const card = document.querySelector('.answer-card')
      return card?.textContent?.includes(name) && card.querySelector('.figures')
    },
    {},
    clip,
  )
}
