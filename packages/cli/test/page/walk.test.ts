import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { basename, join } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { decodeWav } from '@everyrev/core'
import type { Browser, Locator, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { makeWav } from '../../../../scripts/simulate/makeWav.js'
import { runProgram } from '../check/runProgram.js'
import { HAS_CHROMIUM, keepPicture, launch, NO_CHROMIUM, violations } from '../web/browser.js'
import { exportLog, fixture, keptClips, pick, removeLog, type Visit, visit } from './visit.js'

const FILE = fileURLToPath(new URL('../../dist/everyrev.html', import.meta.url))
const URL_FROM_DISK = pathToFileURL(FILE).href
/** For sunlight, contrast is held to AAA. */
const SUNLIGHT = ['color-contrast-enhanced']

if (!HAS_CHROMIUM) console.warn(`the walk through the rider's page is not tested: ${NO_CHROMIUM}`)

/** How the page is looked at: screens of phones, upright and turned, large letters as half as many pixels. */
const SCREENS = [
  { name: '390-light', width: 390, height: 844, scheme: 'light' },
  { name: '390-dark', width: 390, height: 844, scheme: 'dark' },
  { name: '320-light', width: 320, height: 568, scheme: 'light' },
  { name: 'turned-light', width: 844, height: 390, scheme: 'light' },
  { name: 'large-letters', width: 195, height: 422, scheme: 'light' },
  { name: 'turned-dark', width: 844, height: 390, scheme: 'dark' },
] as const satisfies readonly Screen[]
const LARGE_SCREENS = SCREENS.filter(({ name }) => name !== 'large-letters')

interface Screen {
  readonly name: string
  readonly width: number
  readonly height: number
  readonly scheme: 'light' | 'dark'
}

describe.skipIf(!HAS_CHROMIUM)('the walk of a rider, network off', () => {
  const folder = mkdtempSync(join(tmpdir(), 'everyrev-walk-'))
  let browser: Browser

  beforeAll(async () => {
    // The fake microphone plays one fixture; the clips before the change come from a file of another.
    browser = await launch([
      '--use-fake-device-for-media-stream',
      '--use-fake-ui-for-media-stream',
      `--use-file-for-fake-audio-capture=${fixture('cruise-needle-clip-3.wav')}`,
    ])
  })

  afterAll(async () => {
    await browser?.close()
    rmSync(folder, { recursive: true, force: true })
  })

  it('from the first recording to the next change, every answer on the first screen', async () => {
    const there = await visit(browser, URL_FROM_DISK)
    const { page, troubles } = there
    await see(there, 'welcome', page.getByRole('button', { name: 'Record' }))

    // Record before.
    await record(page, there, 'before')
    const keepIt = page.getByRole('button', { name: 'Keep it' })
    await see(there, 'before', page.locator('.figures strong').first(), keepIt)

    // Record after; the sound is the same one, so the verdict is an honest doubt or a refusal, whatever it is.
    await page.getByText('after it', { exact: true }).click()
    await record(page, there, 'after')
    await page.locator('.verdict').waitFor()
    await see(there, 'verdict', page.locator('.figures strong').first(), page.locator('.verdict h3'), keepIt)

    // Keep.
    await keepIt.click()
    await page.getByLabel('What you call the engine').fill('cargo bicycle')
    await page.getByLabel('The one thing changed').selectOption('needle clip')
    await page.getByLabel('From', { exact: true }).fill('2')
    await page.getByLabel('To', { exact: true }).fill('3')
    await page.getByLabel('Head temperature').first().fill('176')
    await look(there, 'form')
    await page.getByRole('button', { name: 'Keep', exact: true }).click()

    // Next change.
    const what = page.getByRole('button', { name: 'What next?' }).first()
    await see(there, 'kept', page.locator('.kept').getByText('Kept as trial 2 of cargo bicycle'), what)
    await what.click()
    await page.locator('.next .card').first().waitFor()
    await see(there, 'next', page.locator('.next .card h3').first())
    expect(await page.locator('.next .caution').textContent()).toContain('do not know your engine')
    await page.getByRole('button', { name: 'Do this next' }).first().click()
    await page.locator('.said').getByText('now those before the next one').waitFor()
    await look(there, 'planned')

    // Reload: clips, log and plan are there.
    await page.reload()
    await page.locator('.trials li').nth(1).waitFor()
    await page.locator('.clip').first().waitFor()
    await see(there, 'reloaded', page.locator('.figures strong').first())

    // A second engine.
    await page.getByText('after it', { exact: true }).click()
    await page.setInputFiles('.bar input[type=file]', fixture('cruise-needle-clip-2.wav'))
    await page.locator('.answer-card', { hasText: 'cruise-needle-clip-2' }).locator('.figures').waitFor()
    await keepIt.click()
    await page.getByRole('combobox', { name: 'Engine', exact: true }).selectOption('another engine')
    await page.getByLabel('What you call the engine').fill('chain saw')
    await page.getByLabel('The one thing changed').selectOption('nothing changed, ridden again')
    await page.getByRole('button', { name: 'Keep', exact: true }).click()
    await page.locator('.kept').getByText('of chain saw').waitFor()
    expect(
      await page.getByRole('combobox', { name: 'Engine', exact: true }).locator('option').allInnerTexts(),
    ).toEqual(['cargo bicycle', 'chain saw'])

    // Export, remove, import.
    await page.getByRole('combobox', { name: 'Engine', exact: true }).selectOption('cargo bicycle')
    const download = await exportLog(page)
    const log = join(folder, 'cargo-bicycle.yaml')
    await download.saveAs(log)
    await removeLog(page)
    await page.locator('.said').getByText('The log of cargo bicycle is removed').waitFor()
    await page.setInputFiles('[aria-labelledby=log] input[multiple]', log)
    await page.locator('.said').getByText('Read 2 trials of cargo bicycle').waitFor()

    // Two windows.
    const second = await there.context.newPage()
    await second.goto(URL_FROM_DISK)
    await second.locator('.trials li').nth(1).waitFor()
    await second.getByRole('button', { name: 'Take the last trial back' }).click()
    await page.waitForFunction(() => document.querySelectorAll('.trials li').length === 1)
    expect(troubles).toEqual([])
    await there.context.close()
  })

  it('has the answer and what to do with it on the first screen, whatever is heard', async () => {
    const short = [sound('cruise-needle-clip-3.wav', { toS: 2.2 })]
    const holed = [sound('cruise-needle-clip-3.wav', { holes: true })]
    const [rich, lean, idle] = [
      'cruise-needle-clip-2.wav',
      'cruise-needle-clip-3.wav',
      'market-square-idle.wav',
    ]
    const pairs = [
      ['The change helped.', fixture(rich), fixture(lean)],
      ['The change made it worse.', fixture(lean), fixture(rich)],
      ['Whether the change did anything cannot be told yet.', fixture(lean), short],
      ['These recordings cannot be compared.', fixture(idle), fixture(lean)],
      ['These recordings cannot be compared.', fixture(rich), holed],
    ] as const
    for (const [n, [said, before, after]] of pairs.entries()) {
      const there = await visit(browser, URL_FROM_DISK)
      const { page } = there
      await pick(page, 'before', before)
      await pick(page, 'after', after)
      const verdict = page.locator('.verdict h3')
      await verdict.waitFor()
      expect(await verdict.textContent()).toContain(said)
      const caution = page.locator('.verdict .caution')
      const parts = [page.locator('.figures strong').first(), verdict, ...(await caution.all())]
      await see(there, `verdict-${n + 1}`, ...parts, page.getByRole('button', { name: 'Keep it' }))
      expect(there.troubles).toEqual([])
      await there.context.close()
    }
  })

  it('does the sums of the bench, and is there again with them after a reload', async () => {
    const there = await visit(browser, URL_FROM_DISK)
    const { page, troubles } = there
    await page.getByRole('button', { name: 'Bench sums' }).click()
    const sum = (title: string) => page.locator('.sum', { has: page.getByRole('heading', { name: title }) })
    await look(there, 'sums')
    const premix = sum('Fuel and oil')
    await premix.locator('summary').click()
    await premix.getByLabel('Fuel to oil wanted').fill('25')
    await premix
      .getByLabel('Fuel', { exact: true })
      .or(premix.getByLabel(/^Fuel as in/))
      .fill('2,5')
    await see(there, 'sum-premix', premix.locator('dd').first(), premix.locator('.caution'))
    expect(await premix.locator('dd').nth(1).textContent()).toBe('100 ml (3.4 US fl oz)')

    // A refusal stands at its field.
    await premix.getByLabel('Fuel to oil wanted').fill('4')
    const wrong = premix.locator('.number-field.wrong')
    expect(await wrong.locator('label').textContent()).toContain('Fuel to oil wanted')
    expect(await wrong.locator('.caution').textContent()).toMatch(/outside the usual 10:1 to 100:1/)
    expect(await premix.locator('dd').count()).toBe(0)
    await look(there, 'sum-refused')
    await page.reload()
    await page.getByRole('button', { name: 'Bench sums' }).click()
    await premix.locator('summary').click()
    expect(await premix.getByLabel('Fuel to oil wanted').inputValue()).toBe('4')
    expect(troubles).toEqual([])
    await there.context.close()
  })

  it('looks at turns, hears a part and all of it again, keeps a photo, and hands answers on', async () => {
    const there = await visit(browser, URL_FROM_DISK)
    const { page, troubles } = there
    const clip = page.locator('.clip').first()
    await pick(page, 'before', fixture('market-square-idle.wav'))
    const whole = await clip.locator('.share').textContent()
    await clip.locator('summary').first().click()
    await look(there, 'clip')
    await clip.getByRole('button', { name: 'Turn by turn' }).click()
    const words = await clip.locator('.turn-plot .word').allTextContents()
    expect(words.length).toBeGreaterThan(10)
    expect(new Set(['fired', 'skipped', 'partial', 'unsure', ...words]).size).toBe(4)
    await look(there, 'turns')
    await clip.locator('.turn-plot').focus()
    const from = clip.getByLabel('From, s')
    const at = Number(await from.inputValue())
    await page.keyboard.press('ArrowRight')
    expect(Number(await from.inputValue())).toBeGreaterThan(at)

    // A part, in the language of many; the sound stays whole.
    await from.fill('0,5')
    await clip.getByLabel('To, s').fill('99')
    await clip.getByRole('button', { name: 'Hear only this part' }).click()
    expect(await clip.getByRole('alert').textContent()).toMatch(/^Give two times from 0 to /)
    await clip.getByLabel('To, s').fill('4')
    await clip.getByRole('button', { name: 'Hear only this part' }).click()
    await clip.getByText('0.5 to 4.0 s of').waitFor()
    const { stdout } = await runProgram([
      'check',
      fixture('market-square-idle.wav'),
      '--from',
      '0.5',
      '--to',
      '4',
      '--json',
    ])
    const [kept] = await keptClips(page)
    const checked = JSON.parse(stdout).misfireRatio.value as number | null
    if (checked === null) expect(kept!.misfireRatio).toBe(null)
    else expect(kept!.misfireRatio!).toBeCloseTo(checked, 3)
    await page.reload()
    await page.locator('.clip summary').first().click()
    await clip.getByRole('button', { name: 'Hear all of it again' }).click()
    await page.locator('.said').getByText('All of the clip counts again').waitFor()
    await clip.locator('.share', { hasText: whole! }).waitFor()

    // Without a share sheet the picture is saved and the words are copied.
    await pick(page, 'after', fixture('cruise-needle-clip-2.wav'))
    const [picture] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Share', exact: true }).click(),
    ])
    expect(picture.suggestedFilename()).toBe('everyrev.png')
    const png = join(folder, 'everyrev.png')
    await picture.saveAs(png)

    // Any picture does as a photo; it is kept small, and goes out beside the log and comes in again.
    await page.getByRole('button', { name: 'Keep a trial' }).click()
    await page.getByLabel('What you call the engine').fill('cargo bicycle')
    await page.getByLabel('The one thing changed').selectOption('nothing changed, ridden again')
    await page.locator('form.card input[type=file]').setInputFiles(png)
    await page.getByRole('button', { name: 'Keep', exact: true }).click()
    await page.locator('.photo').waitFor()
    await page.reload()
    await page.locator('.photo').waitFor()
    await look(there, 'photo')
    const downloads: string[] = []
    page.on('download', (download) => {
      const name = join(folder, download.suggestedFilename())
      void download.saveAs(name).then(() => downloads.push(name))
    })
    await page.getByRole('button', { name: 'Export the log' }).click()
    await page.locator('.said').getByText('its photos beside it as').waitFor()
    await expect.poll(() => downloads.length).toBe(2)
    const names = downloads.sort().map((name) => basename(name))
    expect(names).toEqual(['cargo-bicycle-trial-2.jpg', 'cargo-bicycle.yaml'])
    expect((await runProgram(['log', 'show', downloads[1]!])).code).toBe(0)
    await page.getByText('Correct trial 2').click()
    await page.getByRole('button', { name: 'Remove the photo' }).click()
    await page.locator('.photo').waitFor({ state: 'detached' })
    await page.setInputFiles('[aria-labelledby=log] input[multiple]', downloads[0]!)
    await page.locator('.photo').waitFor()
    expect(troubles).toEqual([])
    await there.context.close()
  })

  it('is whole where the system writes letters twice as large', async () => {
    // As a phone's own setting does it: the default size of text, not the size of the screen.
    const large = await launch(['--blink-settings=defaultFontSize=32,defaultFixedFontSize=26'])
    const there = await visit(large, URL_FROM_DISK)
    const { page } = there
    expect(await page.evaluate(() => getComputedStyle(document.documentElement).fontSize)).toBe('32px')
    await pick(page, 'before', fixture('cruise-needle-clip-2.wav'))
    await page.locator('.clip summary').first().click()
    await page.locator('.turn-plot').waitFor()
    await lookAt(there, 'letters-clip', LARGE_SCREENS)
    await page.getByRole('button', { name: 'Keep a trial' }).click()
    await lookAt(there, 'letters-form', LARGE_SCREENS)
    await page.getByRole('button', { name: 'Bench sums' }).click()
    await page.locator('.sum summary').nth(1).click()
    await lookAt(there, 'letters-sums', LARGE_SCREENS)
    await large.close()
  })

  it('is gone by keyboard alone', async () => {
    const { page, context } = await visit(browser, URL_FROM_DISK)
    let at = page
    // What a hand does that has only Tab, arrows, letters, Space and Enter.
    const press = async (part: Locator, key = 'Enter') => {
      await tabTo(at, part)
      await at.keyboard.press(key)
    }
    for (const side of ['before', 'after']) {
      await press(page.getByRole('button', { name: 'Record' }))
      await page.locator('.recording .figures strong').waitFor()
      await press(page.getByRole('button', { name: 'Stop and hear' }))
      await page.locator('.answer-card', { hasText: side }).locator('.figures').waitFor()
      if (side === 'before') await press(page.locator('.bar input[value=before]'), 'ArrowRight')
    }
    await press(page.getByRole('button', { name: 'Keep it' }))
    await tabTo(page, page.getByLabel('What you call the engine'))
    await page.keyboard.type('cargo bicycle')
    await tabTo(page, page.getByLabel('The one thing changed'))
    await page.keyboard.type('needle')
    await tabTo(page, page.getByLabel('To', { exact: true }))
    await page.keyboard.type('3')
    await press(page.getByRole('button', { name: 'Keep', exact: true }))
    await page.locator('.kept').waitFor()
    await press(page.getByRole('button', { name: 'What next?' }).first())
    await page.locator('.next .card').first().waitFor()
    await press(page.getByRole('button', { name: 'Do this next' }).first())
    await press(page.getByRole('button', { name: 'Undo' }))
    await press(page.locator('.clip summary').first())
    await press(page.getByRole('button', { name: /^Remove 20/ }))
    await page.locator('.said').getByText('is removed').waitFor()

    // Reload, a second engine, export, import.
    await page.reload()
    await page.locator('.trials li').nth(1).waitFor()
    await press(page.getByRole('button', { name: 'Keep a trial' }))
    await tabTo(page, page.getByRole('combobox', { name: 'Engine', exact: true }))
    await page.keyboard.type('another')
    await tabTo(page, page.getByLabel('What you call the engine'))
    await page.keyboard.type('chain saw')
    await tabTo(page, page.getByLabel('The one thing changed'))
    await page.keyboard.type('nothing')
    await press(page.getByRole('button', { name: 'Keep', exact: true }))
    await page.locator('.kept').getByText('of chain saw').waitFor()
    const exported = page.waitForEvent('download')
    await press(page.getByRole('button', { name: 'Export the log' }))
    const log = join(folder, 'chain-saw.yaml')
    await (await exported).saveAs(log)
    const chooser = page.waitForEvent('filechooser')
    await press(page.getByLabel('Import a log'))
    await (await chooser).setFiles(log)
    await page
      .locator('.said')
      .getByText(/^Read \d trials? of chain saw/)
      .waitFor()

    // A sum, and another window.
    await press(page.getByRole('button', { name: 'Bench sums' }))
    const premix = page.locator('.sum').first()
    await press(premix.locator('summary'))
    await tabTo(page, premix.getByLabel('Fuel to oil wanted'))
    await page.keyboard.type('25')
    await tabTo(page, premix.getByLabel(/^Fuel as in/))
    await page.keyboard.type('5')
    await premix.locator('dd', { hasText: /^200 ml/ }).waitFor()
    await press(page.getByRole('button', { name: 'Ride' }))
    await page.locator('.trials li').first().waitFor()
    const trials = await page.locator('.trials li').count()
    at = await context.newPage()
    await at.goto(URL_FROM_DISK)
    await at.locator('.trials li').first().waitFor()
    await press(at.getByRole('button', { name: 'Take the last trial back' }))
    // A window behind another draws no frames, so each is waited for in front.
    for (const window of [at, page]) {
      await window.bringToFront()
      await window.waitForFunction((n) => document.querySelectorAll('.trials li').length < n, trials)
    }
    await context.close()
  })

  it('discards a recording, and puts it back', async () => {
    const { page, context } = await visit(browser, URL_FROM_DISK)
    await page.getByRole('button', { name: 'Record' }).click()
    await page.locator('.clock').getByText('0:02').waitFor()
    await page.getByRole('button', { name: 'Discard' }).click()
    await page.locator('.said').getByText('The recording is discarded').waitFor()
    expect(await page.locator('.clip').count()).toBe(0)
    await page.getByRole('button', { name: 'Undo' }).click()
    await page.locator('.clip').waitFor()
    await context.close()
  })

  /** Records until the share so far is told; it, its trace and the clock stand on the first screen. */
  async function record(page: Page, there: Visit, side: string): Promise<void> {
    await page.getByRole('button', { name: 'Record' }).click()
    await page.locator('.recording .figures strong').waitFor()
    const parts = ['.clock', '.figures strong', '.trace svg', '.needed', '.stop'].map((part) =>
      page.locator(`.recording ${part}`),
    )
    await see(there, `recording-${side}`, ...parts, page.getByRole('button', { name: 'Discard' }))
    await page.getByRole('button', { name: 'Stop and hear' }).click()
    await page.locator('.answer-card .figures').waitFor()
  }
})

/** A fixture as another file: only its beginning, or with 12 ms in every 0.9 s lost as a busy phone loses them. */
function sound(name: string, { toS = Number.POSITIVE_INFINITY, holes = false }) {
  const { channels, rateHz } = decodeWav(readFileSync(fixture(name)))
  const samples = channels[0]!.slice(0, Math.min(channels[0]!.length, toS * rateHz))
  for (let atS = 0.3; holes && atS * rateHz < samples.length; atS += 0.9)
    samples.fill(0, Math.round(atS * rateHz), Math.round((atS + 0.012) * rateHz))
  return {
    name: `part-of-${name}`,
    mimeType: 'audio/wav',
    buffer: Buffer.from(makeWav([samples], { rateHz })),
  }
}

/** Tabs until a part has the focus; fails where that never happens. */
async function tabTo(page: Page, part: Locator): Promise<void> {
  await part.waitFor({ state: 'attached' })
  for (let tabs = 0; tabs < 120; tabs++) {
    if (await part.evaluate((element) => element === document.activeElement)) return
    await page.keyboard.press('Tab')
  }
  expect.fail(`${part} is not reached by Tab`)
}

/** Checks that these stand whole on the first screen of a phone, above the bar, and looks at the state. */
async function see(there: Visit, state: string, ...parts: readonly Locator[]): Promise<void> {
  const { page } = there
  for (const part of parts) await part.waitFor()
  await page.evaluate(() => scrollTo(0, 0))
  const bar = await page
    .locator('.bar')
    .boundingBox({ timeout: 500 })
    .catch(() => null)
  for (const part of parts) {
    const inBar = await part.evaluate((element) => element.closest('.bar') !== null)
    const box = (await part.boundingBox())!
    expect(box.y, `${state}: ${part}`).toBeGreaterThanOrEqual(0)
    const isFree = await part.evaluate((element) => {
      const { left, top, width, height } = element.getBoundingClientRect()
      const above = document.elementFromPoint(left + width / 2, top + height / 2)
      return above !== null && (element.contains(above) || above.contains(element))
    })
    expect(isFree, `${state}: ${part} is covered`).toBe(true)
    expect(box.y + box.height, `${state}: ${part}`).toBeLessThanOrEqual(inBar || !bar ? 844 : bar.y + 1)
  }
  await look(there, state)
}

/** Looks at a state on every screen: accessible, and nothing wider than the screen. */
function look(there: Visit, state: string): Promise<void> {
  return lookAt(there, state, SCREENS)
}

async function lookAt({ page }: Visit, state: string, screens: readonly Screen[]): Promise<void> {
  for (const { name, width, height, scheme } of screens) {
    await page.setViewportSize({ width, height })
    await page.emulateMedia({ colorScheme: scheme })
    expect(await violations(page, SUNLIGHT), `${state} at ${name}`).toEqual([])
    expect(await cutOff(page), `${state} at ${name}`).toEqual([])
    await keepPicture(page, `walk-${state}-${name}`)
  }
  await page.setViewportSize({ width: 390, height: 844 })
  await page.emulateMedia({ colorScheme: 'light' })
}

/** What stands out of the screen to the side, or is cut off in its own box, and cannot be pushed into sight. */
function cutOff(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const scrolls = (element: Element | null): boolean =>
      element !== null &&
      (/auto|scroll/.test(getComputedStyle(element).overflowX) || scrolls(element.parentElement))
    const wide = document.documentElement.scrollWidth > document.documentElement.clientWidth
    return [...document.querySelectorAll('body *')]
      .filter((element) => {
        // Words that end at the edge of their own box are cut off as well; the marks under a strip are told besides.
        const isCut =
          element.scrollWidth > element.clientWidth + 1 &&
          getComputedStyle(element).display !== 'inline' &&
          element.matches(
            'button, .button, summary, td, th, label, legend, h1, h2, h3, p, li, dt, dd, span:not(.mark)',
          )
        const { left, right, width } = element.getBoundingClientRect()
        if (width <= 1 || scrolls(element) || element.closest('.unseen, svg')) return false
        return (
          isCut ||
          right > innerWidth + 1 ||
          left < -1 ||
          (wide && right > document.documentElement.clientWidth + 1)
        )
      })
      .map((element) => `${element.tagName} ${element.className}: ${element.textContent?.slice(0, 40)}`)
  })
}
