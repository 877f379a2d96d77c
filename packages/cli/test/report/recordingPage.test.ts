import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { type Analysis, analyze, compare, decodeWav, toRecording } from '@everyrev/core'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { readClip } from '../../src/io/readClip.js'
import { checkPage } from '../../src/report/pages/checkPage.js'
import { comparePage } from '../../src/report/pages/comparePage.js'
import { htmlDocument, type PageParts } from '../../src/web/document.js'
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

const fixture = (name: string) => fileURLToPath(new URL(`../../../../fixtures/${name}`, import.meta.url))
const heard = async (name: string): Promise<Analysis> => analyze(await readClip(fixture(name)))

describe.skipIf(!HAS_CHROMIUM)(
  `pages about recordings${HAS_CHROMIUM ? '' : `: skipped, ${NO_CHROMIUM}`}`,
  () => {
    let browser: Browser
    let folder: string
    let before: Analysis
    let after: Analysis
    const write = async (name: string, parts: PageParts): Promise<string> => {
      const path = join(folder, name)
      writeFileSync(path, await htmlDocument(parts))
      return path
    }

    beforeAll(async () => {
      browser = await launch()
      folder = mkdtempSync(join(tmpdir(), 'everyrev-page-'))
      before = await heard('cruise-needle-clip-2.wav')
      after = await heard('cruise-needle-clip-3.wav')
    })
    afterAll(async () => {
      await browser.close()
      rmSync(folder, { recursive: true })
    })

    for (const look of LOOKS) {
      test(`check, ${nameOf(look)}: zooms, steps and plays, is clean for axe-core, and tells no error`, async () => {
        const path = await write('check.html', checkPage(before, 'cruise-needle-clip-2.wav'))
        const { page, complaints } = await openFile(browser, path, look)
        await keepPicture(page, `check-${nameOf(look)}`)
        await keepPicture(page, `check-${nameOf(look)}-whole`, true)
        expect(await violations(page)).toEqual([])
        expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(look.width)

        await expectStepping(page)
        await keepPicture(page, `check-${nameOf(look)}-stepped`)
        await expectZoom(page)
        await expectPlaying(page)
        // Everything unfolded has to hold as well.
        await page.evaluate(() => {
          for (const details of document.querySelectorAll('details')) details.open = true
        })
        expect(await violations(page)).toEqual([])
        expect(complaints).toEqual([])
        await page.close()
      })

      test(`compare, ${nameOf(look)}: switches between before and after`, async () => {
        const files = { before: ['before.wav'], after: ['after.wav'] }
        const path = await write(
          'compare.html',
          comparePage(compare([before], [after]), files, [before], [after]),
        )
        const { page, complaints } = await openFile(browser, path, look)
        await keepPicture(page, `compare-${nameOf(look)}-whole`, true)
        const turns = (analysis: Analysis) => `${analysis.revolutions.timeS.length} turns`
        expect(await page.textContent('#turn')).toContain(turns(before))
        await page.locator('input[value=after]').check({ force: true })
        expect(await page.textContent('#turn')).toContain(turns(after))
        expect(await page.locator('#over-time .strip').count()).toBe(2)
        await page.emulateMedia({ media: 'print' })
        // Paper says which side is drawn on it.
        expect(await page.locator('.chooser label:visible').allTextContents()).toEqual(['after'])
        await page.emulateMedia({ media: null })
        expect(await page.locator('#overview .strip:visible').count()).toBe(1)
        await page.locator('input[value=before]').check({ force: true })
        expect(await page.textContent('#turn')).toContain(turns(before))
        expect(await violations(page)).toEqual([])
        expect(complaints).toEqual([])
        await page.close()
      })
    }

    test('a clip without an engine has a page as well', async () => {
      const path = await write('rain.html', checkPage(await heard('rain-on-tarpaulin.wav'), 'rain'))
      const { page, complaints } = await openFile(browser, path, LOOKS[0])
      expect(await page.textContent('.answer')).toContain('No small two-stroke is heard')
      expect(await page.isDisabled('#next')).toBe(true)
      await expectPlaying(page)
      expect(await violations(page)).toEqual([])
      expect(complaints).toEqual([])
      await page.close()
    })

    test('the keys: arrows step wherever they are free; on the plots, space plays and signs zoom', async () => {
      const path = await write('keys.html', checkPage(before, 'keys'))
      const { page } = await openFile(browser, path, LOOKS[2])
      const said = () => page.textContent('#turn')
      await page.keyboard.press('ArrowRight')
      const first = await said()
      expect(first).toContain('skipped')
      await page.keyboard.press('ArrowRight')
      expect(await said()).not.toBe(first)
      await page.keyboard.press('ArrowLeft')
      expect(await said()).toBe(first)
      const number = (text: string | null) => Number(/Turn ([\d]+)/.exec(text ?? '')?.[1])
      await page.keyboard.press('Shift+ArrowRight')
      expect(number(await said())).toBe(number(first) + 1)
      await page.focus('#plots')
      const width = () => shownShare(page)
      const wide = await width()
      await page.keyboard.press('+')
      expect(await width()).toBeLessThan(wide)
      await page.keyboard.press('0')
      expect(await width()).toBeCloseTo(1, 2)
      await page.keyboard.press(' ')
      await page.waitForFunction(() => document.getElementById('play')?.textContent === 'Pause')
      // Paused, so that the sound does not move the slider between the key and the look.
      await page.keyboard.press(' ')
      await page.waitForFunction(() => document.getElementById('play')?.textContent === 'Play')
      // In the slider the arrows are the slider's.
      await page.focus('#seek')
      await page.keyboard.press('Home')
      expect(await page.inputValue('#seek')).toBe('0')
      await page.close()
    })

    test('a mouse moves sideways with Shift or its middle button, a wheel with Shift, pages by key', async () => {
      const path = await write('pan.html', checkPage(before, 'pan'))
      const { page, complaints } = await openFile(browser, path, LOOKS[2])
      const left = () => page.evaluate(() => Number.parseFloat(document.getElementById('window')!.style.left))
      await page.click('#zoom-in')
      await page.click('#zoom-in')
      const share = await shownShare(page)
      const said = await page.textContent('#turn')
      const plot = page.locator('#speed .u-over')
      await plot.scrollIntoViewIfNeeded()
      const { x, y, width } = (await plot.boundingBox())!
      const dragLeft = async (button: 'left' | 'middle') => {
        await page.mouse.move(x + 0.6 * width, y + 50)
        await page.mouse.down({ button })
        await page.mouse.move(x + 0.4 * width, y + 50, { steps: 4 })
        await page.mouse.up({ button })
      }
      const start = await left()
      await dragLeft('middle')
      const dragged = await left()
      expect(dragged).toBeCloseTo(start + 100 * 0.2 * share, 0)
      await page.keyboard.down('Shift')
      await dragLeft('left')
      expect(await left()).toBeCloseTo(dragged + 100 * 0.2 * share, 0)
      await page.mouse.wheel(0, -200)
      await page.waitForFunction(
        (was) => Number.parseFloat(document.getElementById('window')!.style.left) < was - 1,
        dragged + 100 * 0.2 * share,
      )
      await page.keyboard.up('Shift')
      await page.focus('#plots')
      const wheeled = await left()
      await page.keyboard.press('PageUp')
      expect(await left()).toBeCloseTo(Math.max(0, wheeled - 50 * share), 0)
      // Moving is neither zooming nor going somewhere.
      expect(await shownShare(page)).toBeCloseTo(share, 3)
      expect(await page.textContent('#turn')).toBe(said)
      expect(complaints).toEqual([])
      await page.close()
    })

    test('turn by turn stays quiet until all turns in sight have room', async () => {
      const path = await write('raster.html', checkPage(before, 'raster'))
      const { page } = await openFile(browser, path, LOOKS[0])
      expect(await page.isVisible('#raster canvas')).toBe(false)
      expect(await page.textContent('#raster-note')).toBe('zoom in to see it: press “pulses”')
      await page.click('#pulses')
      expect(await page.isVisible('#raster canvas')).toBe(true)
      expect(await page.textContent('#raster-note')).toMatch(/^turns \d+ to \d+ of \d+$/)
      await page.close()
    })

    test.each(['light', 'dark'] as const)(
      'a phone on its side, %s: nothing is wider, and the plots have room',
      async (colorScheme) => {
        const path = await write('turned.html', checkPage(before, 'cruise-needle-clip-2.wav'))
        const { page, complaints } = await openFile(browser, path, { width: 844, height: 390, colorScheme })
        expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(844)
        await page.locator('#wave').scrollIntoViewIfNeeded()
        const player = (await page.locator('#player').boundingBox())!
        expect(player.height).toBeLessThan(390 / 3)
        expect(await violations(page)).toEqual([])
        await keepPicture(page, `check-turned-${colorScheme}`)
        expect(complaints).toEqual([])
        await page.close()
      },
    )

    test('two fingers zoom, one finger moves sideways', async () => {
      const path = await write('touch.html', checkPage(before, 'touch'))
      const context = await browser.newContext({ hasTouch: true, viewport: { width: 390, height: 844 } })
      const page = await context.newPage()
      await page.goto(`file://${path}`)
      await page.locator('#speed').scrollIntoViewIfNeeded()
      const box = (await page.locator('#speed .u-over').boundingBox())!
      const session = await context.newCDPSession(page)
      const touch = async (type: 'touchStart' | 'touchMove' | 'touchEnd', ...shares: number[]) => {
        const touchPoints = shares.map((share, id) => ({ x: box.x + share * box.width, y: box.y + 50, id }))
        await session.send('Input.dispatchTouchEvent', { type, touchPoints })
      }
      await touch('touchStart', 0.4, 0.6)
      for (const half of [0.15, 0.2, 0.3, 0.4]) await touch('touchMove', 0.5 - half, 0.5 + half)
      await touch('touchEnd')
      const share = await shownShare(page)
      expect(share).toBeGreaterThan(0.15)
      expect(share).toBeLessThan(0.4)
      const left = () => page.evaluate(() => Number.parseFloat(document.getElementById('window')!.style.left))
      const start = await left()
      await touch('touchStart', 0.7)
      for (const at of [0.6, 0.5, 0.4, 0.3]) await touch('touchMove', at)
      await touch('touchEnd')
      expect(await left()).toBeGreaterThan(start + 5)
      expect(await shownShare(page)).toBeCloseTo(share, 3)
      await context.close()
    })

    test('several clips a side: each can be chosen, and the switch goes to its counterpart', async () => {
      const files = { before: ['a.wav', 'b.wav'], after: ['c.wav', 'd.wav'] }
      const sides = [
        [before, after],
        [after, before],
      ] as const
      const path = await write('several.html', comparePage(compare(...sides), files, ...sides))
      const { page, complaints } = await openFile(browser, path, LOOKS[0])
      await page.selectOption('#clip', '1')
      expect(await page.textContent('#turn')).toContain(`${after.revolutions.timeS.length} turns`)
      await page.locator('input[value=after]').check({ force: true })
      expect(await page.inputValue('#clip')).toBe('3')
      expect(await page.textContent('#turn')).toContain(`${before.revolutions.timeS.length} turns`)
      const twice = await page.evaluate(() => {
        const ids = [...document.querySelectorAll('[id]')].map(({ id }) => id)
        return ids.filter((id, k) => ids.indexOf(id) !== k)
      })
      expect(twice).toEqual([])
      expect(await violations(page)).toEqual([])
      expect(complaints).toEqual([])
      await page.close()
    })

    test('on paper: light colours, whatever the screen had, and no wider than A4', async () => {
      const path = await write('print.html', checkPage(before, 'print'))
      const { page, complaints } = await openFile(browser, path, LOOKS[3])
      await page.emulateMedia({ media: 'print', colorScheme: 'dark' })
      await page.setViewportSize({ width: 794 - 76, height: 1123 }) // A4 at 96 dots an inch, margins of a centimetre
      expect(await page.evaluate(() => getComputedStyle(document.body).color)).toBe('rgb(0, 0, 0)')
      expect(await page.isVisible('#player')).toBe(false)
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(794 - 76)
      await keepPicture(page, 'check-print', true)
      // Printed from a wide dark screen: what is drawn at the last moment is as wide as the paper, and light.
      await page.setViewportSize({ width: 1280, height: 800 })
      await page.emulateMedia({ media: null, colorScheme: 'dark' })
      // Nobody prints within the frame in which the window grew: without one in between, the page hears of no change.
      await page.waitForFunction(() => {
        const plot = document.getElementById('speed')!
        return plot.clientWidth > 800 && plot.querySelector('canvas')!.clientWidth === plot.clientWidth
      })
      await page.evaluate(() => {
        matchMedia('print').addEventListener('change', ({ matches }) => {
          if (!matches) return
          const plot = document.getElementById('speed')!
          const canvas = plot.querySelector('canvas')!
          const [red] = canvas.getContext('2d')!.getImageData(200, 100, 1, 1).data
          document.title = JSON.stringify([canvas.clientWidth, plot.clientWidth, red])
        })
      })
      await page.pdf({ format: 'A4' })
      const [drawn, room, red] = JSON.parse(await page.title()) as number[]
      expect(drawn).toBe(room)
      expect(room).toBeLessThan(800)
      expect(red).toBeGreaterThan(200)
      expect(complaints).toEqual([])
      await page.close()
    })

    test('a clip of 60 s: at most 3 MB, and it answers a tap', async () => {
      const wav = decodeWav(readFileSync(fixture('cruise-needle-clip-2.wav')))
      const once = wav.channels[0]!
      const samples = Float32Array.from({ length: 60 * wav.rateHz }, (_, k) => once[k % once.length]!)
      const analysis = analyze(toRecording({ channels: [samples], rateHz: wav.rateHz, notes: [] }))
      const path = await write('minute.html', checkPage(analysis, 'minute.wav'))
      const { page, complaints } = await openFile(browser, path, LOOKS[0])
      await page.click('#next')
      expect(await page.textContent('#turn')).toContain('skipped')
      expect(complaints).toEqual([])
      await page.close()
      expect(statSync(path).size).toBeLessThan(3e6)
    })
  },
)

async function expectStepping(page: Page): Promise<void> {
  await page.click('#next')
  const first = await page.textContent('#turn')
  expect(first).toMatch(/^Turn \d+ of \d+, .*: skipped \(\d+ % sure\)/)
  expect(await shownShare(page)).toBeLessThan(0.2)
  await page.click('#next')
  expect(await page.textContent('#turn')).not.toBe(first)
  await page.click('#back')
  expect(await page.textContent('#turn')).toBe(first)
}

async function expectZoom(page: Page): Promise<void> {
  await page.click('#whole')
  expect(await shownShare(page)).toBeCloseTo(1, 2)
  await page.click('#zoom-in')
  expect(await shownShare(page)).toBeCloseTo(0.5, 1)
  await page.click('#zoom-out')
  expect(await shownShare(page)).toBeCloseTo(1, 2)
  await page.click('#pulses')
  expect(await shownShare(page)).toBeLessThan(0.05)
  await page.click('#whole')
  const plot = page.locator('#wave .u-over')
  await plot.scrollIntoViewIfNeeded()
  const box = (await plot.boundingBox())!
  await page.mouse.move(box.x + 0.25 * box.width, box.y + 60)
  await page.mouse.down()
  await page.mouse.move(box.x + 0.5 * box.width, box.y + 62, { steps: 4 })
  await page.mouse.up()
  expect(await shownShare(page)).toBeCloseTo(0.25, 1)
  await page.click('#whole')
}

/** It plays at all three speeds, the mark moves, and it stops. */
async function expectPlaying(page: Page): Promise<void> {
  // The element that plays is in no document: it is caught as it starts.
  await page.evaluate(() => {
    const { play } = HTMLMediaElement.prototype
    HTMLMediaElement.prototype.play = function () {
      Object.assign(window, { player: this })
      return play.call(this)
    }
  })
  for (const rate of [1, 0.5, 0.25]) {
    await page.locator(`input[name=rate][value="${rate}"]`).check({ force: true })
    await page.evaluate(() => {
      const seek = document.getElementById('seek') as HTMLInputElement
      seek.value = '1'
      seek.dispatchEvent(new Event('input'))
    })
    await page.click('#play')
    await page.waitForFunction(
      () => Number((document.getElementById('seek') as HTMLInputElement).value) > 1.05,
    )
    expect(await page.evaluate(() => (window as { player?: HTMLMediaElement }).player?.playbackRate)).toBe(
      rate,
    )
    await page.click('#play')
    expect(await page.textContent('#play')).toBe('Play')
  }
}

/** Share of the clip that the plots show. */
function shownShare(page: Page): Promise<number> {
  return page.evaluate(() => {
    const window = document.getElementById('window')!
    return Number.parseFloat(window.style.width) / 100
  })
}
