import { expect, it } from 'vitest'
import { percent, renderTable } from './table.js'

const columns = [{ title: 'name' }, { title: 'n' }]

it('aligns: first column left, numbers right', () => {
  expect(
    renderTable(columns, [
      ['a', '1'],
      ['longer', '1000'],
    ]),
  ).toBe(['name       n', 'a          1', 'longer  1000'].join('\n'))
})

it('writes the same as Markdown with alignment marks', () => {
  expect(renderTable(columns, [['a', '10']], true)).toBe(
    ['| name |  n |', '| ---- | -: |', '| a    | 10 |'].join('\n'),
  )
})

it('stands a row with too few cells', () => {
  expect(renderTable(columns, [['a']])).toBe('name  n\na')
})

it('shows shares as percent, and nothing counted as n/a', () => {
  expect([percent(0.1234), percent(1, 0), percent(0 / 0)]).toEqual(['12.3', '100', 'n/a'])
})
