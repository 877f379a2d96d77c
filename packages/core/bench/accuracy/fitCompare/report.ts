import { HEARING, type Hearing } from '../../../src/compare/constants.js'
import { percent, renderTable } from '../table.js'
import { byClips, fitHearing, judge } from './fit.js'
import type { HeardChange } from './hear.js'

/** What the present setting and the fitted one make of the comparisons, and how a fit does on engines it was not made on. */
export function reportFit(changes: readonly HeardChange[]): string {
  const fitted = fitHearing(changes)
  const engines = [...new Set(changes.map(({ engine }) => engine))].sort()
  const half = (odd: number) => changes.filter(({ engine }) => engines.indexOf(engine) % 2 === odd)
  const unseen = [0, 1].map((odd) => ({ own: half(odd), fit: fitHearing(half(1 - odd)) }))
  const rows = byClips(changes).flatMap((part) => {
    const { clips } = part[0]!
    const without = part.filter(({ shares }) => !shares).length
    return [
      row(`${clips} a side, present`, part, HEARING),
      row(`${clips} a side, fitted`, part, fitted),
      ...unseen.map(({ own, fit }, k) =>
        row(
          `${clips} a side, unseen half ${k + 1}`,
          own.filter((change) => change.clips === clips),
          fit,
        ),
      ),
      [`${clips} a side, not comparable`, `${without} of ${part.length}`, '', '', '', '', ''],
    ]
  })
  const titles = ['', 'holds, %', 'width', 'no change called', '3 to 8', '8 and more', 'wrong way']
  return [
    `${engines.length} engines, ${changes.length} comparisons, ears ${[...new Set(changes.map(({ ear }) => ear))].join(', ')}`,
    renderTable(
      titles.map((title) => ({ title })),
      rows,
    ),
    `HEARING = ${inWords(fitted)}\nnow       ${inWords(HEARING)}\nhalves    ${unseen.map(({ fit }) => inWords(fit)).join('\n          ')}`,
  ].join('\n\n')
}

function row(name: string, part: readonly HeardChange[], hearing: Hearing): string[] {
  const { held, width, called, small, large, wrong } = judge(part, hearing)
  return [name, ...[held, width, called, small, large, wrong].map(percent)]
}

const inWords = (hearing: Hearing): string =>
  `{ ${Object.entries(hearing)
    .map(([name, value]) => `${name}: ${Number((value as number).toPrecision(3))}`)
    .join(', ')} }`
