import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { installablePage, type PageFile } from '../../src/page/installable.js'
import { servePage } from '../../src/page/serve.js'
import { runProgram, startProgram } from '../check/runProgram.js'
import { HAS_CHROMIUM, launch, NO_CHROMIUM } from '../web/browser.js'
import { fixture, keepTrial, pick } from './visit.js'

const NAMES = ['icon-192.png', 'icon-512.png', 'icon.svg', 'index.html', 'manifest.webmanifest', 'service.js']

describe('the page as a folder', () => {
  const folder = mkdtempSync(join(tmpdir(), 'everyrev-install-'))
  afterAll(() => rmSync(folder, { recursive: true, force: true }))

  it('is written beside the one-file form, and again over an older one, never over something else', async () => {
    const out = join(folder, 'roadside')
    for (let time = 0; time < 2; time++) {
      const { code, stdout, stderr } = await runProgram(['page', '--out', out])
      expect([code, stderr]).toEqual([0, ''])
      expect(stdout).toMatch(/^Wrote 6 files into /)
      expect(readdirSync(out).sort()).toEqual(NAMES)
    }
    writeFileSync(join(out, 'index.html'), '<title>my own</title>')
    const other = await runProgram(['page', '--out', out])
    expect(other.code).toBe(2)
    expect(other.stderr).toMatch(
      /^everyrev: .*roadside: holds an index\.html of something else \(choose .*\)\n$/,
    )
    expect(readFileSync(join(out, 'index.html'), 'utf8')).toBe('<title>my own</title>')
    const nowhere = await runProgram(['page', '--out', join(folder, 'no', 'such')])
    expect(nowhere.code).toBe(2)
    expect(nowhere.stderr).toMatch(/such: the folder for it does not exist .*\n$/)
  })

  it('has icons of the sizes its manifest names', async () => {
    const files = await installablePage()
    const { icons } = JSON.parse(
      String(files.find(({ name }) => name === 'manifest.webmanifest')!.content),
    ) as {
      icons: { src: string; sizes: string }[]
    }
    for (const { src, sizes } of icons) {
      const png = Buffer.from(files.find(({ name }) => name === src)!.content)
      // PNG, third edition, 11.2.1: width and height stand at bytes 16 and 20.
      expect(`${png.readUInt32BE(16)}x${png.readUInt32BE(20)}`).toBe(sizes)
    }
  })

  it('is served on this computer until it is ended', async () => {
    const { child, outcome } = startProgram(['page', '--serve', '0'])
    const url = await new Promise<string>((resolve) =>
      child.stdout!.on('data', (text: string) => resolve(/http:\/\/localhost:\d+\//.exec(text)![0])),
    )
    const answers = await Promise.all(
      [...NAMES, '', '../package.json', 'nothing'].map((name) => fetch(url + name)),
    )
    expect(answers.map(({ status }) => status)).toEqual([...NAMES.map(() => 200), 200, 404, 404])
    expect(answers[4]!.headers.get('content-type')).toBe('application/manifest+json')
    const taken = await runProgram(['page', '--serve', new URL(url).port])
    expect([taken.code, taken.stderr]).toEqual([
      2,
      `everyrev: port ${new URL(url).port} is taken (name another, as in --serve 8081)\n`,
    ])
    child.kill('SIGINT')
    await outcome
    const wrong = await runProgram(['page', '--serve', 'x'])
    expect(wrong).toMatchObject({ code: 2, stderr: expect.stringContaining('“x” is no port') })
  })
})

if (!HAS_CHROMIUM) console.warn(`the installed page is not tested: ${NO_CHROMIUM}`)

describe.skipIf(!HAS_CHROMIUM)('the installed page', () => {
  let browser: Browser
  beforeAll(async () => {
    browser = await launch()
  })
  afterAll(() => browser?.close())

  it('can be installed, works with the network off after a reload, and takes a newer version without losing the log', async () => {
    // What is served can be exchanged for a newer build while it is open.
    const files: PageFile[] = [...(await installablePage())]
    const { url } = await servePage(files, 0)
    const context = await browser.newContext({ viewport: { width: 390, height: 844 }, locale: 'en-GB' })
    const page = await context.newPage()
    const record = page.getByRole('button', { name: 'Record' })
    await page.goto(url)
    await record.waitFor()
    await page.evaluate(() => navigator.serviceWorker.ready)
    await page.waitForFunction(() => navigator.serviceWorker.controller !== null)
    const session = await context.newCDPSession(page)
    const { installabilityErrors } = await session.send('Page.getInstallabilityErrors')
    // A window without a trace of itself is never offered to install; nothing else is in the way.
    expect(installabilityErrors.map(({ errorId }) => errorId).filter((id) => id !== 'in-incognito')).toEqual(
      [],
    )

    await context.setOffline(true)
    await page.reload()
    await record.waitFor()
    await pick(page, 'before', fixture('cruise-needle-clip-2.wav'))
    await pick(page, 'after', fixture('cruise-needle-clip-3.wav'))
    await page.locator('.verdict').waitFor()
    await keepTrial(page)
    await page.reload()
    await page.locator('.trials li').nth(1).waitFor()

    await context.setOffline(false)
    newer(files)
    await page.reload()
    // A look for a newer version that began before the network was back finds none, and the browser takes its time for the next.
    await page.evaluate(async () => void (await (await navigator.serviceWorker.ready).update()))
    await page.locator('.said').getByText('A newer version of this page is here').waitFor()
    expect(await page.title()).not.toContain('newer')
    await context.setOffline(true)
    await page.reload()
    await page.locator('.trials li').nth(1).waitFor()
    expect(await page.title()).toContain('newer')
    expect(await page.locator('.said').textContent()).not.toContain('newer')
    await context.close()
  })

  it('is told of a newer version that took over before the page listened', async () => {
    const files: PageFile[] = [...(await installablePage())]
    const { url } = await servePage(files, 0)
    const page = await browser.newPage()
    await page.goto(url)
    await page.waitForFunction(() => navigator.serviceWorker.controller !== null)
    newer(files)
    await page.addInitScript(startLate)
    await page.reload()
    await page.locator('.said').getByText('A newer version of this page is here').waitFor()
    await page.close()
  })
})

/** Runs before the page's own script: has it wait, where it unpacks what hears, until a newer version has taken over. */
function startLate(): void {
  const { serviceWorker } = navigator
  const taken = new Promise((resolve) => serviceWorker.addEventListener('controllerchange', resolve))
  void serviceWorker.getRegistration().then((registration) => registration?.update())
  const { blob } = Response.prototype
  Response.prototype.blob = async function () {
    await taken
    return blob.call(this)
  }
}

/** A newer build in place of the one that is served. */
function newer(files: PageFile[]): void {
  const change = (name: string, from: string | RegExp, to: string) => {
    const at = files.findIndex((file) => file.name === name)
    const content = String(files[at]!.content).replace(from, to)
    expect(content).not.toBe(files[at]!.content)
    files[at] = { ...files[at]!, content }
  }
  change('index.html', '<title>everyrev', '<title>everyrev newer')
  change('index.html', /<meta name="version" content="\w+">/, '<meta name="version" content="newer">')
  change('service.js', /"version":"\w+"/, '"version":"newer"')
}
