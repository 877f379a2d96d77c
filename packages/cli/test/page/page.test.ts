import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import type { Server } from 'node:http'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { decodeWav } from '@everyrev/core'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { makeWav } from '../../../../scripts/simulate/makeWav.js'
import { listen } from '../../src/jobs/listen.js'
import { runProgram } from '../check/runProgram.js'
import { HAS_FFMPEG } from '../decode/clips.js'
import { HAS_CHROMIUM, keepPicture, launch, NO_CHROMIUM, violations } from '../web/browser.js'
import { shareOf } from './shareOf.js'
import {
  exportLog,
  fixture,
  host,
  keepTrial,
  keptClips,
  onVisit,
  pick,
  removeLog,
  type Visit,
} from './visit.js'

const BEFORE = 'cruise-needle-clip-2.wav'
const AFTER = 'cruise-needle-clip-3.wav'

/** The page with the weights of the ear, four fifths of it; what a phone loads in a few seconds over a slow line. Chosen. */
const MOST_BYTES = 1_600_000
/** For sunlight, contrast is held to AAA. */
const SUNLIGHT = ['color-contrast-enhanced']

if (!HAS_CHROMIUM) console.warn(`the rider's page is not tested: ${NO_CHROMIUM}`)

/**
 * How far shares of page and program may lie apart where the sound is the same. Mostly they are equal to the last bit; but of a browser's
 * sines, exponentials and logarithms 3 to 9 % differ from those of Node 20 in the last digit (Chromium 156), and where groups of turns
 * lie nearly alike that moves some turns.
 */
const SAME_SHARE = 0.0005

/** Share of a recording that must be what the microphone played; on an idle machine nine tenths are. Chosen. */
const SOME_SHARE = 0.25

describe.skipIf(!HAS_CHROMIUM)('the page for the phone', () => {
  const folder = mkdtempSync(join(tmpdir(), 'everyrev-page-'))
  const file = join(folder, 'everyrev.html')
  const fromDisk = pathToFileURL(file).href
  let browser: Browser
  let server: Server
  let fromHost: string

  beforeAll(async () => {
    const { code, stderr } = await runProgram(['page', '--out', file])
    expect(stderr).toBe('')
    expect(code).toBe(0)
    // The fake microphone plays the fixture again and again.
    browser = await launch([
      '--use-fake-device-for-media-stream',
      '--use-fake-ui-for-media-stream',
      `--use-file-for-fake-audio-capture=${fixture(AFTER)}`,
    ])
    const hosted = await host(file)
    server = hosted.server
    fromHost = hosted.url
  })

  afterAll(async () => {
    await browser?.close()
    server?.close()
    rmSync(folder, { recursive: true, force: true })
  })

  const onPage = (url: string, act: (visit: Visit) => Promise<void>, scheme: 'light' | 'dark' = 'light') =>
    onVisit(browser, url, { scheme, offline: url === fromDisk }, act)

  /** What `check` hears, before its JSON rounds it to four digits. */
  const heardByProgram = async (clip: string) =>
    (await listen(clip, { progress: false })).score.misfireRatio.value

  it('is one file of at most 1.6 MB that may not use the network', () => {
    const text = readFileSync(file, 'utf8')
    expect(statSync(file).size).toBeLessThanOrEqual(MOST_BYTES)
    expect(text).toContain("default-src 'none'")
    expect(text).not.toMatch(/(?:connect|default)-src[^;"]*(?:\*|https?:)/)
    expect(text).not.toMatch(/<(?:link|img|iframe|script)[^>]+(?:src|href)=/)
  })

  it('hears WAV clips with the figures and words of check', async () => {
    await onPage(fromDisk, async ({ page }) => {
      const names = [BEFORE, AFTER, 'market-square-idle.wav', 'rain-on-tarpaulin.wav']
      await pick(page, 'before', names.map(fixture))
      const kept = new Map((await keptClips(page)).map(({ name, misfireRatio }) => [name, misfireRatio]))
      for (const name of names) {
        const ratio = await heardByProgram(fixture(name))
        const { stdout } = await runProgram(['check', fixture(name), '--json'])
        const printed = (JSON.parse(stdout) as { misfireRatio: { value: number | null } }).misfireRatio.value
        if (ratio === null) expect([kept.get(name), printed]).toEqual([null, null])
        else {
          expect(Math.abs(kept.get(name)! - ratio), name).toBeLessThan(SAME_SHARE)
          expect(Number(ratio.toFixed(4))).toBe(printed)
        }
      }
      const { stdout } = await runProgram(['check', fixture(BEFORE)])
      const sentences = stdout.split('\n\n')[0]!.replace(/\s+/g, ' ')
      expect(await page.locator('.clip').first().textContent()).toContain(sentences)
    })
  })

  it('compares clips in the words of compare', async () => {
    await onPage(fromDisk, async ({ page }) => {
      await pick(page, 'before', fixture(BEFORE))
      await pick(page, 'after', fixture(AFTER))
      const verdict = page.locator('.verdict')
      await verdict.waitFor()
      const { stdout } = await runProgram(['compare', fixture(BEFORE), fixture(AFTER)])
      const words = (await verdict.textContent())!.replace(/\s+/g, ' ')
      for (const sentence of stdout.split('\n\n')[0]!.replace(/\s+/g, ' ').split('. '))
        expect(words).toContain(sentence)
      await keepPicture(page, 'page-light-compared')
      await page.locator('.clip > details > summary').last().click()
      await page.locator('.clip').last().getByText('Leave out').click()
      await verdict.waitFor({ state: 'detached' })
    })
  })

  it.skipIf(!HAS_FFMPEG)(
    'hears compressed clips by the browser’s decoder, close to the WAV they were made from',
    async () => {
      const made = (format: string, ...more: string[]) => {
        const clip = join(folder, `before.${format}`)
        const { status } = spawnSync('ffmpeg', ['-v', 'error', '-y', '-i', fixture(BEFORE), ...more, clip])
        expect(status).toBe(0)
        return clip
      }
      const clips = [
        made('m4a', '-b:a', '128k'),
        made('mp3', '-b:a', '128k'),
        made('flac'),
        made('opus', '-c:a', 'libopus', '-b:a', '64k'),
        made('webm', '-c:a', 'libopus', '-b:a', '96k'),
      ]
      await onPage(fromDisk, async ({ page }) => {
        await pick(page, 'before', [...clips, fixture(BEFORE)])
        await pick(page, 'after', fixture(AFTER))
        const kept = await keptClips(page)
        const plain = kept.find(({ name }) => name === BEFORE)!
        for (const clip of clips) {
          const { misfireRatio } = kept.find(({ name }) => clip.endsWith(`/${name}`))!
          // The bound the other decoders are held to as well.
          expect(Math.abs(misfireRatio! - plain.misfireRatio!), clip).toBeLessThan(0.03)
          expect(Math.abs(misfireRatio! - (await heardByProgram(clip))!), clip).toBeLessThan(0.03)
        }
        const lossless = kept.find(({ name }) => name === 'before.flac')!
        // The browser's decoder gives the samples to within rounding, which the ear's 16-bit products let through.
        expect(Math.abs(lossless.misfireRatio! - plain.misfireRatio!)).toBeLessThan(1e-4)
        expect(await page.locator('.verdict h3').textContent()).toMatch(/The change helped|cannot be told/)
      })
    },
  )

  it('refuses what it cannot hear in one line that says what and how to go on', async () => {
    await onPage(fromDisk, async ({ page }) => {
      const files = [
        { name: 'old-phone.3gp', bytes: '\0\0\0\x18ftyp3gp4' },
        { name: 'call.amr', bytes: '#!AMR\n' },
        { name: 'plug.png', bytes: '\x89PNG\r\n\x1a\n' },
        { name: 'cut-off.m4a', bytes: '\0\0\0\x18ftypM4A \0\0\0\0' },
        { name: 'empty.wav', bytes: '' },
      ]
      await pick(
        page,
        'before',
        files.map(({ name, bytes }) => ({ name, mimeType: '', buffer: Buffer.from(bytes, 'latin1') })),
      )
      const said = await page.locator('.clip .caution').allInnerTexts()
      expect(said).toEqual([
        'This file is a 3GP file, which browsers do not decode (record it as M4A or WAV, or use everyrev check on a computer).',
        'This file is an AMR file, which browsers do not decode (record it as M4A or WAV, or use everyrev check on a computer).',
        'This file is a PNG picture, not a sound or video file (clips look like ride.m4a or ride.wav).',
        'This file is an MP4, M4A, MOV or 3GP file that this browser cannot decode (another browser may, or everyrev check on a computer).',
        'This file is empty (0 bytes) (copy it from the phone again).',
      ])
    })
  })

  it('hears a minute of stereo sound, plain and compressed, without holding the page up', async () => {
    const clips = minuteClips(folder)
    const [long] = clips
    await onPage(fromDisk, async ({ page }) => {
      for (const clip of clips) {
        await pick(page, 'before', clip)
      }
      const kept = (await keptClips(page)).find(({ name }) => name === 'minute.wav')!
      expect(Math.abs(kept.misfireRatio! - (await heardByProgram(long!))!)).toBeLessThan(1e-6)
    })
  })

  it.each(['disk', 'a web host'])('records from the microphone, opened from %s', async (from) => {
    await onPage(from === 'disk' ? fromDisk : fromHost, async ({ page }) => {
      await pick(page, 'before', fixture(BEFORE))
      await page.getByText('after it', { exact: true }).click()
      await page.getByRole('button', { name: 'Record' }).click()
      await page.getByText(/heard, about [\d,]+ rpm/).waitFor()
      await page
        .locator('.needed')
        .getByText(/The change|cannot be (told|compared)/)
        .waitFor()
      const facts = await page.locator('.facts').textContent()
      expect(facts).not.toContain('left') // nothing that changes the sound is on in this browser
      expect(await page.getByText('never handle it while riding').count()).toBe(1)
      expect(await violations(page, SUNLIGHT)).toEqual([])
      await keepPicture(page, `page-light-recording-from-${from === 'disk' ? 'disk' : 'host'}`)
      await page.getByRole('button', { name: 'Stop and hear' }).click()
      const recorded = page.locator('.clip').last()
      await recorded.locator('.heard').waitFor()
      await recorded.locator('summary').first().click()
      // The sound that is saved is the sound that was heard.
      const [download] = await Promise.all([
        page.waitForEvent('download'),
        recorded.getByRole('button', { name: 'Save the sound' }).click(),
      ])
      const saved = join(folder, `from-${from === 'disk' ? 'disk' : 'host'}.wav`)
      await download.saveAs(saved)
      const ratio = (await heardByProgram(saved))!
      const kept = (await keptClips(page)).find(({ name }) => name.endsWith('-after.wav'))!
      // To a hundredth of a point: functions like the exponential differ in their last digits between browser and Node.
      expect(Math.abs(kept.misfireRatio! - ratio)).toBeLessThan(1e-4)
      // The fake microphone plays the fixture. A busy machine loses some of it, so the share is of what was saved, not of the fixture.
      const recordedWav = readFileSync(saved)
      expect(shareOf(recordedWav, readFileSync(fixture(AFTER)))).toBeGreaterThan(SOME_SHARE)
      expect(shareOf(recordedWav, readFileSync(fixture(BEFORE)))).toBe(0)
    })
  })

  it('keeps trials over a reload; the command line reads the export; it is imported again', async () => {
    await onPage(fromDisk, async ({ page }) => {
      await pick(page, 'before', fixture(BEFORE))
      await pick(page, 'after', fixture(AFTER))
      await keepTrial(page)
      await page.reload()
      await page.locator('.trials li').first().waitFor()
      expect(await page.locator('.trials li').count()).toBe(2)
      await page.locator('.verdict').waitFor() // the clips are found again too
      const download = await exportLog(page)
      expect(download.suggestedFilename()).toBe('cargo-bicycle.yaml')
      const log = join(folder, 'cargo-bicycle.yaml')
      await download.saveAs(log)
      const shown = await runProgram(['log', 'show', log])
      expect(shown.code).toBe(0)
      const verdict = /^2 {2}needle clip 2 -> 3 .*?((?:helped|unclear) -\d+)/m.exec(shown.stdout)?.[1]
      expect(verdict).toBeDefined()
      expect(shown.stdout).toContain('176 °C')
      const onScreen = (await page.locator('.trials li').first().textContent())!.replace(/\s+/g, ' ')
      expect(onScreen).toContain(`${verdict} against trial 1`)
      await removeLog(page)
      await page.locator('.trials').waitFor({ state: 'detached' })
      await page.setInputFiles('[aria-labelledby=log] input[multiple]', log)
      await page.locator('.trials li').first().waitFor()
      expect(await page.locator('.trials li').count()).toBe(2)
      await page.setInputFiles('[aria-labelledby=log] input[multiple]', {
        name: 'torn.yaml',
        mimeType: '',
        buffer: readFileSync(log).subarray(0, 400),
      })
      await page
        .locator('.said.wrong')
        .getByText(/torn\.yaml: line \d+, column \d+/)
        .waitFor()
    })
  })

  it.each(['light', 'dark'] as const)('is accessible, %s, with targets for a thumb', async (scheme) => {
    await onPage(
      fromDisk,
      async ({ page }) => {
        expect(await violations(page, SUNLIGHT)).toEqual([])
        await keepPicture(page, `page-${scheme}-empty`)
        await pick(page, 'before', fixture(BEFORE))
        await pick(page, 'after', fixture(AFTER))
        await pick(page, 'after', [
          { name: 'plug.png', mimeType: '', buffer: Buffer.from('\x89PNG', 'latin1') },
        ])
        await page.evaluate(() => {
          for (const details of document.querySelectorAll('details')) details.open = true
        })
        expect(await violations(page, SUNLIGHT)).toEqual([])
        expect(await smallTargets(page)).toEqual([])
        await keepPicture(page, `page-${scheme}-whole`, true)
        await keepTrial(page)
        expect(await violations(page, SUNLIGHT)).toEqual([])
        await page.locator('#log').scrollIntoViewIfNeeded()
        await keepPicture(page, `page-${scheme}-log`)
        await page.getByRole('button', { name: 'Keep a trial' }).click()
        await page.locator('form.card').getByLabel('Note').waitFor()
        expect(await violations(page, SUNLIGHT)).toEqual([])
        expect(await smallTargets(page)).toEqual([])
        await keepPicture(page, `page-${scheme}-trial`)
      },
      scheme,
    )
  })

  it('says what the browser left on, that it keeps nothing, and why there is no microphone', async () => {
    await onPage(fromDisk, async ({ page }) => {
      // What other browsers answer.
      await page.addInitScript(() => {
        const open = () => {
          throw new DOMException('', 'SecurityError')
        }
        Object.defineProperty(globalThis, 'indexedDB', { value: { open } })
        const settings = MediaStreamTrack.prototype.getSettings
        MediaStreamTrack.prototype.getSettings = function () {
          const { noiseSuppression: _, ...told } = settings.call(this)
          return { ...told, autoGainControl: true }
        }
      })
      await page.reload()
      await page.getByText('This browser keeps nothing').waitFor()
      await page.getByRole('button', { name: 'Record' }).click()
      await page.getByText('this browser left automatic level on').waitFor()
      await page.getByText('does not say whether it switched off noise suppression').waitFor()
      await page.waitForTimeout(1500)
      await keepPicture(page, 'page-light-left-on')
      await page.getByRole('button', { name: 'Stop and hear' }).click()
      await page.locator('.clip').waitFor()
      await page.evaluate(() => {
        navigator.mediaDevices.getUserMedia = () => Promise.reject(new DOMException('', 'NotAllowedError'))
      })
      await page.getByRole('button', { name: 'Record' }).click()
      await page.getByText('The microphone was not allowed').waitFor()
      await page.evaluate(() => {
        navigator.mediaDevices.getUserMedia = () => new Promise(() => {})
      })
      await page.getByRole('button', { name: 'Record' }).click()
      await page.getByRole('button', { name: 'Cancel' }).click()
      await page.getByRole('button', { name: 'Record' }).waitFor()
    })
  })

  it('says so where the browser is too old for it', async () => {
    const context = await browser.newContext()
    const page = await context.newPage()
    await page.addInitScript(() => Reflect.deleteProperty(globalThis, 'DecompressionStream'))
    await page.goto(fromDisk)
    await page.getByText('This page cannot start in this browser').waitFor()
    await context.close()
  })

  it('removes a clip and puts it back, and hears again with a speed it is told', async () => {
    await onPage(fromDisk, async ({ page }) => {
      await pick(page, 'before', fixture(BEFORE))
      await page.locator('.clip summary').first().click()
      await page.getByRole('button', { name: `Remove ${BEFORE}` }).click()
      await page.locator('.clip').waitFor({ state: 'detached' })
      await page.getByRole('button', { name: 'Undo' }).click()
      await page.locator('.clip .heard').waitFor()
      await page.locator('summary', { hasText: 'What you know' }).click()
      const tell = async (low: string, high: string) => {
        await page.getByLabel('from', { exact: true }).fill(low)
        await page.getByLabel('to', { exact: true }).fill(high)
        await page.getByRole('button', { name: 'Hear again' }).click()
      }
      await tell('5000', '3000')
      await page.locator('[role=alert]').getByText('the lower one first').waitFor()
      await tell('2000', '2600') // a speed that the sound contradicts is not followed
      const told = await listen(fixture(BEFORE), { progress: false, expectRpm: [2000, 2600] })
      await expect
        .poll(async () => (await keptClips(page))[0]!.misfireRatio)
        .toBeCloseTo(told.score.misfireRatio.value!, 6)
    })
  })

  it('is worked by keyboard alone', async () => {
    await onPage(fromDisk, async ({ page }) => {
      await pick(page, 'before', fixture(BEFORE))
      await page.locator('.clip summary').first().focus()
      await page.keyboard.press('Enter')
      await page.locator('.clip input[value=before]').focus()
      await page.keyboard.press('ArrowRight')
      await page.locator('.clip summary').first().getByText('after').waitFor()
      const seen = new Set<string>()
      for (let i = 0; i < 40; i++) {
        await page.keyboard.press('Tab')
        seen.add(
          await page.evaluate(
            () =>
              document.activeElement?.textContent?.trim() ||
              document.activeElement?.getAttribute('type') ||
              '',
          ),
        )
      }
      for (const name of ['Record', 'Keep a trial', 'Remove', 'Details', 'What you know', 'file', 'radio'])
        expect([...seen]).toContain(name)
    })
  })
})

describe('everyrev page', () => {
  it('says what it needs and what it cannot write to, in one line', async () => {
    const help = await runProgram(['page', '--help'])
    expect(help.stdout).toMatch(/--out <file or folder>/)
    expect(help.stdout).toContain('never handle it while riding')
    const bare = await runProgram(['page'])
    expect([bare.code, bare.stderr]).toEqual([
      2,
      'everyrev: say where the page goes (--out everyrev.html, --out FOLDER or --serve)\n',
    ])
    const nowhere = await runProgram(['page', '--out', join(tmpdir(), 'no such folder', 'x.html')])
    expect(nowhere.code).toBe(2)
    expect(nowhere.stderr).toMatch(/^everyrev: .*x\.html: the folder for it does not exist .*\n$/)
  })
})

/** What a thumb has to hit and is smaller than 48 pixels. */
function smallTargets(page: Page): Promise<string[]> {
  return page.evaluate(() =>
    [
      ...document.querySelectorAll(
        'button, .button, summary, select, input:not([type=radio], [type=file]), .choice span',
      ),
    ]
      .map((element) => ({ element, box: element.getBoundingClientRect() }))
      .filter(({ box }) => box.width > 0 && Math.min(box.width, box.height) < 48)
      .map(({ element, box }) => `${element.textContent}: ${box.width} × ${box.height}`),
  )
}

/** A minute of stereo sound as WAV and, where ffmpeg is there, as M4A. */
function minuteClips(folder: string): string[] {
  const [plain, coded] = [join(folder, 'minute.wav'), join(folder, 'minute.m4a')]
  writeFileSync(plain, minuteOfStereo(readFileSync(fixture(BEFORE))))
  const made = spawnSync('ffmpeg', ['-v', 'error', '-y', '-i', plain, coded]).status === 0
  return made ? [plain, coded] : [plain]
}

/** The first channel of a WAV file played until a minute is full, on two channels. */
function minuteOfStereo(wav: Buffer): Uint8Array {
  const { channels, rateHz } = decodeWav(wav)
  const mono = channels[0]!
  const minute = Float64Array.from({ length: 60 * rateHz }, (_, i) => mono[i % mono.length]!)
  return makeWav([minute, minute.map((sample) => 0.7 * sample)], { rateHz })
}
