/**
 * Writes docs/frontier.svg and the table of sizes in docs/ear.md from scripts/ear/frontier.json, which holds what
 * scripts/ear/frontier.py printed: `npx tsx scripts/frontier.ts`. A test fails while they differ.
 */
import { readFileSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { scaleLinear, scaleLog } from 'd3-scale'
import { percent, renderTable } from '../packages/core/bench/accuracy/table.js'

const fromRoot = (name: string): string => fileURLToPath(new URL(`../${name}`, import.meta.url))
const TABLE = /(<!-- frontier:start -->\n)[\s\S]*?(<!-- frontier:end -->)/
const PANEL = { width: 300, height: 220, left: 46, top: 34, between: 64 }

/** One measured network, as scripts/ear/frontier.py prints it; shares are of time. */
interface Measured {
  readonly name: string
  /** Channels of the four levels where it was trained from nothing. */
  readonly widths: readonly number[] | null
  /** Share of the hidden units that are left of the trained one. */
  readonly keep: number | null
  readonly steps: number
  readonly weights: number
  /** In a second of sound. */
  readonly multiplyAdds: number
  readonly speedRight: number
  readonly firedRight: number
  readonly firedNats: number
  readonly engineRight: number
}

const measured = JSON.parse(readFileSync(fromRoot('scripts/ear/frontier.json'), 'utf8')) as Measured[]
const millions = (count: number): string => (count / 1e6).toFixed(0)

/** docs/ear.md with the table as it was measured. */
export function withTable(document: string): string {
  const columns = [
    'network',
    'million multiply-adds a second',
    'steps',
    'speed right, %',
    'firing right, %',
    'engine right, %',
  ]
  const rows = measured.map((m) => [
    m.widths ? `from nothing, ${m.name}` : m.name,
    millions(m.multiplyAdds),
    m.steps > 0 ? `${m.steps}` : '',
    ...[m.speedRight, m.firedRight, m.engineRight].map((share) => percent(share)),
  ])
  const table = renderTable(
    columns.map((title) => ({ title })),
    rows,
    true,
  )
  return document.replace(TABLE, (_, before: string, after: string) => `${before}\n${table}\n\n${after}`)
}

/** Two panels: speed and firing that are right over multiply-adds. */
export function drawnFrontier(): string {
  const { width, height, left, top, between } = PANEL
  const whole = { width: 2 * (left + width) + between, height: top + height + 44 }
  const panels = (['speedRight', 'firedRight'] as const).map((figure, k) =>
    panel(figure, `translate(${left + k * (left + width + between / 2)} ${top})`),
  )
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${whole.width} ${whole.height}" width="${whole.width}" height="${whole.height}" font-family="sans-serif" font-size="11" fill="#222" role="img" aria-label="Share of time in which speed and firing are right, over multiply-adds a second, of ten networks">
<rect width="100%" height="100%" fill="#fff"/>
${panels.join('\n')}
</svg>
`
}

function panel(figure: 'speedRight' | 'firedRight', place: string): string {
  const { width, height } = PANEL
  const x = scaleLog([25e6, 180e6], [0, width])
  const y = scaleLinear([0.7, 0.87], [height, 0])
  const ticks = [
    ...[0.7, 0.75, 0.8, 0.85].map(
      (value) =>
        `<path d="M0 ${y(value)}H${width}" stroke="#ddd"/><text x="-6" y="${y(value) + 4}" text-anchor="end">${(100 * value).toFixed(0)} %</text>`,
    ),
    ...[30e6, 50e6, 80e6, 120e6, 160e6].map(
      (value) =>
        `<text x="${x(value).toFixed(1)}" y="${height + 16}" text-anchor="middle">${millions(value)}</text>`,
    ),
  ]
  const points = measured.map((m) => {
    const at = `cx="${x(m.multiplyAdds).toFixed(1)}" cy="${y(m[figure]).toFixed(1)}"`
    return `<circle ${at} r="4" ${m.widths ? 'fill="#fff" stroke="#222"' : m.keep ? 'fill="#999" stroke="#222"' : ''}><title>${m.name}</title></circle>`
  })
  return `<g transform="${place}">
<text x="0" y="-14" font-weight="bold">${figure === 'speedRight' ? 'crank speed right' : 'firing right'}</text>
${ticks.join('\n')}
${points.join('\n')}
<text x="${width / 2}" y="${height + 34}" text-anchor="middle">million multiply-adds a second of sound</text>
</g>`
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const ear = fromRoot('docs/ear.md')
  writeFileSync(ear, withTable(readFileSync(ear, 'utf8')))
  writeFileSync(fromRoot('docs/frontier.svg'), drawnFrontier())
}
