import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { h, options } from 'preact'
import { afterAll, describe, expect, it } from 'vitest'
import { showTextSafely } from '../../src/page/browser/safeText.js'
import { alignColumns } from '../../src/render/columns.js'
import { wrap } from '../../src/render/wrap.js'
import { runProgram } from '../check/runProgram.js'

const CLIP = fileURLToPath(new URL('../../../../fixtures/cruise-needle-clip-2.wav', import.meta.url))
const folder = mkdtempSync(join(tmpdir(), 'everyrev-raw-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

/** Clears the screen, sets the title, turns the direction round four ways, breaks the line. */
const WILD = 'a\u001b[2J\u001b]0;x\u0007\u009b31m\u202e\u061c\u2067\u200f\nb'
// biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what must not be there
const RAW = /[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]/

const clip = join(folder, `${WILD}.wav`)
copyFileSync(CLIP, clip)
copyFileSync(CLIP.replace('clip-2', 'clip-3'), join(folder, `${WILD}2.wav`))
const clips = join(folder, `${WILD}-clips`)
mkdirSync(clips)
copyFileSync(CLIP, join(clips, `${WILD}.wav`))
writeFileSync(join(clips, `${WILD}-broken.wav`), 'no')
const log = join(folder, `${WILD}.yaml`)
const inYaml = JSON.stringify(WILD).replaceAll(
  /[\u007f-\uffff]/g,
  (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`,
)
const LOG = `everyrevLog: 1
engine:
  name: ${inYaml}
settings:
  ${inYaml}: ${inYaml}
trials:
  - trial: 1
    date: 2026-04-03
    change: ${inYaml.slice(0, -1)} 1 -> 2"
    clips: [${inYaml}]
    note: ${inYaml}
    head: 170 °C
  - trial: 2
    date: 2026-04-04
    change: needle clip 2 -> 3 from bottom
    head: 190 °C
# End of log: 2 trials.
`

/** Of the runs below, those that end with 2. */
const REFUSED = /not there|nothing there|from a log|over itself|two to one|there already|no clip|unknown/

describe('names and words from outside', () => {
  it.each<[string, string[]]>([
    ['check', ['check', clip]],
    ['check, a name that is not there', ['check', `${clip}-no`]],
    ['check, JSON', ['check', clip, '--json']],
    ['check, a page', ['check', clip, '--html', join(folder, `${WILD}.html`)]],
    ['check, over itself', ['check', clip, '--html', clip]],
    ['compare', ['compare', clip, join(folder, `${WILD}2.wav`)]],
    ['grade', ['grade', clips, '--group-by', '(.*)', '--no-cache', '--no-progress']],
    ['grade, JSON', ['grade', clips, '--json', '--group-by', '(.*)', '--no-cache', '--no-progress']],
    ['grade, two to one', ['grade', clips, '--csv', `${clip}.x`, '--html', `${clip}.x`]],
    ['log show', ['log', 'show', log]],
    ['log show, JSON', ['log', 'show', log, '--json']],
    ['log new', ['log', 'new', `${log}.new.yaml`, '--engine', WILD, '--set', `${WILD}: 3`]],
    ['log new, there already', ['log', 'new', log, '--engine', WILD]],
    ['log add', ['log', 'add', log, '--note', WILD, '--change', `${WILD} 1 -> 2`, '--head', '170C']],
    ['log add, no clip', ['log', 'add', log, '--clip', `${WILD}-no`]],
    ['log undo', ['log', 'undo', log]],
    ['log edit', ['log', 'edit', log, '--trial', '2', '--note', WILD]],
    ['log redo, nothing there', ['log', 'redo', log]],
    ['log csv', ['log', 'csv', log]],
    ['next', ['next', log]],
    ['bench, from a log', ['bench', 'speed', '--rpm', '5000', '--log', log]],
    ['page', ['page', '--out', join(folder, `${WILD}.page.html`)]],
    ['an unknown command', [WILD]],
    ['an unknown option', ['check', clip, `--${WILD}`]],
  ])('%s', async (name, args) => {
    writeFileSync(log, LOG)
    const { stdout, stderr, code } = await runProgram(args)
    expect(code, stderr).toBe(REFUSED.test(name) ? 2 : args[0] === 'grade' ? 3 : 0)
    // Rows of CSV end as RFC 4180 wants it.
    expect(name === 'log csv' ? stdout.replaceAll('\r\n', '\n') : stdout).not.toMatch(RAW)
    expect(stderr).not.toMatch(RAW)
    for (const line of stderr.split('\n').filter((text) => text !== '')) expect(line).toMatch(/^everyrev: /)
    // A line that begins with what stands behind the line break in the name.
    expect(stdout).not.toMatch(/^b[.-]/m)
  })

  it('and in the pages and pictures', async () => {
    writeFileSync(log, LOG)
    const files = ['html', 'svg'].map((kind) => join(folder, `out.${kind}`))
    await runProgram(['log', 'show', log, '--html', files[0]!, '--svg', files[1]!])
    await runProgram(['grade', clips, '--no-cache', '--html', join(folder, 'grade.html')])
    for (const file of [...files, join(folder, 'grade.html')]) {
      const markup = readFileSync(file, 'utf8').replaceAll(/<script[\s\S]*?<\/script>/g, '')
      expect(
        markup.match(new RegExp(RAW.source.replace('\\u0000-\\u0009', '\\u0000-\\u0008'), 'g')),
      ).toBeNull()
    }
  })

  it('tables and paragraphs', () => {
    expect(wrap(WILD, 80).join('\n')).not.toMatch(RAW)
    expect(alignColumns([['x', WILD]], new Set()).join('')).toMatch(/^x {2}a\\x1b\[2J[^\n]*\\x0ab$/)
  })
})

describe('the rider’s page', () => {
  it('shows and says no text raw, and leaves what is typed as it is', () => {
    showTextSafely()
    // What Preact makes of a string among children.
    const shown = (text: string) => {
      const node = { type: null, props: text }
      options.vnode!(node as never)
      return node.props
    }
    expect(shown(WILD)).not.toMatch(RAW)
    expect(shown(WILD)).not.toContain('\n')
    expect(shown('-\u2060>')).toBe('-\u2060>')
    const attributes = h('input', { title: WILD, value: WILD, 'aria-label': WILD }).props
    expect(`${attributes.title}${attributes['aria-label']}`).not.toMatch(RAW)
    expect(attributes.value).toBe(WILD)
  })
})
