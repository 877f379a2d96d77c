import { createHash } from 'node:crypto'
import { expect, test } from 'vitest'
import { embeddedJson, joinDocument } from '../../src/web/document.js'
import { escapeHtml, html, trusted } from '../../src/web/html.js'
import { STATE_MARKS, stateMarkSvg } from '../../src/web/stateMarks.js'

const HOSTILE = '</script><img src=x onerror="alert(1)">\u202egnp.<!--`\u2028'

test('text from outside stays text between tags and in quoted attributes', () => {
  const { markup } = html`<p title="${HOSTILE}">${HOSTILE}</p>`
  expect(markup).not.toMatch(/<(?!p |\/p>)/)
  expect(markup.match(/"/g)).toHaveLength(2)
  expect(markup).not.toMatch(/[\u202e\u2028`]/)
})

test('markup of our own and lists go in as they are; nothing leaves nothing', () => {
  const rows = ['a', '<b>'].map((text) => html`<td>${text}</td>`)
  expect(html`<tr>${rows}${null}${undefined}${false}${0}${trusted('<td/>')}</tr>`.markup).toBe(
    '<tr><td>a</td><td>&#60;b&#62;</td>0<td/></tr>',
  )
})

test('embedded JSON cannot end its element and is read back as it was', () => {
  const json = embeddedJson({ file: HOSTILE })
  expect(json).not.toMatch(/[<>\u2028]/)
  expect(JSON.parse(json)).toEqual({ file: HOSTILE })
})

test('a page allows the script and style it holds, and no other, and no network', () => {
  const script = 'document.title += "</script><!--"'
  const page = joinDocument(
    { title: HOSTILE, body: html`<main></main>`, bundle: 'none', data: { clip: HOSTILE } },
    'b{}',
    script,
  )
  expect(page).not.toMatch(/https?:|<img|<!--/)
  const shown = /<script>(.*)<\/script>/.exec(page)![1]!
  const hash = createHash('sha256').update(shown).digest('base64')
  expect(page).toContain(`script-src 'sha256-${hash}'`)
  expect(page).toContain("default-src 'none'")
  expect(page.match(/<\/script>/g)).toHaveLength(2)
})

test('the four states differ in shape, not in colour alone', () => {
  expect(new Set(Object.values(STATE_MARKS).map(({ path }) => path)).size).toBe(4)
  expect(stateMarkSvg('skipped', 1, 2, 10)).toContain('class="state-skipped outline"')
  expect(escapeHtml("'")).toBe('&#39;')
})
