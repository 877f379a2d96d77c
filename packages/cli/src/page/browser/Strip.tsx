import { percentText, rpmText } from '../../render/numbers.js'
import { numeral } from '../../render/numeral.js'
import { marksIn, type StripSlice } from '../../render/strip.js'
import type { ClipAnswer } from '../types.js'

/** Drawing box: percent of the width, units of the height. */
const WIDTH = 360
const SHARE_HEIGHT = 72
const MARK_ROW = 16
const SPEED_HEIGHT = 18
const GAP = 6
/** Thickness of the edge of a bar. */
const EDGE = 3

/** The clip over time: skipped turns as height, pattern as signs under it, crank speed as a line at the bottom. */
export function Strip({
  columns,
  durationS,
  speedRange,
  label,
}: {
  columns: readonly StripSlice[]
  durationS: number
  speedRange: ClipAnswer['speedRange']
  label: string
}) {
  const step = WIDTH / columns.length
  const speedTop = SHARE_HEIGHT + MARK_ROW + GAP
  const height = speedTop + SPEED_HEIGHT
  const speeds = columns.map(({ speedRpm }) => speedRpm).filter((rpm) => !Number.isNaN(rpm))
  const top = Math.max(...speeds)
  // A span of its own, so that a little wander does not look like a leap; it is not the engine's range.
  const bottom = Math.min(...speeds, 0.7 * top)
  return (
    <figure class="strip">
      <figcaption>Skipped turns over time</figcaption>
      <div class="plot">
        <span class="scale" aria-hidden="true">
          <span>100 %</span>
          <span>50 %</span>
          <span>0 %</span>
        </span>
        <svg viewBox={`0 0 ${WIDTH} ${height}`} preserveAspectRatio="none" role="img" aria-label={label}>
          <Shares columns={columns} step={step} />
          <path
            class="speed"
            d={speedPath(
              columns,
              step,
              (rpm) => speedTop + SPEED_HEIGHT * (1 - (rpm - bottom) / (top - bottom || 1)),
            )}
          />
        </svg>
        <div class="marks" aria-hidden="true">
          {runs(columns).map(({ mark, at, length }) => (
            <span
              key={at}
              class={`mark mark-${MARK_CLASS[mark] ?? 'x'}`}
              ref={widthOf(length / columns.length)}
            >
              {length >= 4 ? mark : ''}
            </span>
          ))}
        </div>
      </div>
      <div class="axis" aria-hidden="true">
        <span>0 s</span>
        <span>{numeral(durationS, durationS < 100 ? 1 : 0)} s</span>
      </div>
      <p class="quiet">
        {marksIn(columns).join(' · ')}
        {speedRange && ` · line at the bottom: crank speed, ${speedWords(speedRange)}`}
      </p>
    </figure>
  )
}

/** The share of skipped turns over time alone, for a recording that grows. */
export function Trace(props: { columns: readonly StripSlice[]; label: string; lengthS: number }) {
  const { columns, label, lengthS } = props
  const step = WIDTH / columns.length
  return (
    <figure class="strip trace">
      <svg viewBox={`0 0 ${WIDTH} ${SHARE_HEIGHT}`} preserveAspectRatio="none" role="img" aria-label={label}>
        <Shares columns={columns} step={step} />
      </svg>
      <figcaption class="quiet">Skipped turns, 0 to 100 %, over the last {Math.round(lengthS)} s</figcaption>
    </figure>
  )
}

/** Skipped turns as height over lines at 0, 50 and 100 %. */
function Shares({ columns, step }: { columns: readonly StripSlice[]; step: number }) {
  return (
    <>
      <path class="grid" d={[0, 0.5, 1].map((y) => `M0 ${y * SHARE_HEIGHT}H${WIDTH}`).join('')} />
      <path class="skipped" d={areaPath(columns, step)} />
      <path class="edge" d={edgePath(columns, step)} />
      <path class="untold" d={cannotTellPath(columns, step)} />
    </>
  )
}

const speedWords = ([slowest, fastest]: readonly [number, number]): string =>
  `slowest turn ${rpmText(slowest)} rpm, fastest ${rpmText(fastest)} rpm`

/** Classes cannot hold `?` and `.`. */
const MARK_CLASS: Readonly<Record<string, string>> = {
  '?': 'unsure',
  '.': 'none',
  c: 'coasting',
  '1': 'clean',
}

// Each kind of mark is one path: hundreds of elements would hold the page up on a slow phone.

/** The share of skipped turns over time as paths in a box of `width` by `height`. */
export function sharePaths(columns: readonly StripSlice[]) {
  const step = WIDTH / columns.length
  return {
    width: WIDTH,
    height: SHARE_HEIGHT,
    area: areaPath(columns, step),
    edge: edgePath(columns, step),
    untold: cannotTellPath(columns, step),
  }
}

/** A column filled up to its share, where one share is told. */
function areaPath(columns: readonly StripSlice[], step: number): string {
  return columns
    .map(({ shares }, i) => (shares.length === 1 ? box(i * step, yOf(shares[0]!), step, SHARE_HEIGHT) : ''))
    .join('')
}

/** The share itself, or both where two fit: a thick stroke, so that none at all shows too. */
function edgePath(columns: readonly StripSlice[], step: number): string {
  const top = (share: number) => Math.min(yOf(share), SHARE_HEIGHT - EDGE)
  return columns
    .flatMap(({ shares }, i) => shares.map((share) => box(i * step, top(share), step, top(share) + EDGE)))
    .join('')
}

/** A dash half-way up where the engine runs and no share can be told. */
function cannotTellPath(columns: readonly StripSlice[], step: number): string {
  const middle = SHARE_HEIGHT / 2
  return columns
    .map(({ shares, mark }, i) =>
      shares.length === 0 && mark === '?' ? box(i * step, middle - 2, step, middle + 2) : '',
    )
    .join('')
}

const yOf = (share: number): number => SHARE_HEIGHT * (1 - share)

/** A box a little wider than its column, so that neighbours leave no gap. */
function box(x: number, y: number, width: number, bottom: number): string {
  return `M${x.toFixed(1)} ${y.toFixed(1)}h${(width + 0.2).toFixed(1)}V${bottom.toFixed(1)}h${(-width - 0.2).toFixed(1)}Z`
}

function speedPath(columns: readonly StripSlice[], step: number, yOf: (rpm: number) => number): string {
  let pen = 'M'
  return columns
    .map(({ speedRpm }, i) => {
      if (Number.isNaN(speedRpm)) {
        pen = 'M'
        return ''
      }
      const point = `${pen}${((i + 0.5) * step).toFixed(1)} ${yOf(speedRpm).toFixed(1)}`
      pen = 'L'
      return point
    })
    .join('')
}

/** Neighbouring columns with one mark. */
function runs(columns: readonly StripSlice[]): { mark: string; at: number; length: number }[] {
  const found: { mark: string; at: number; length: number }[] = []
  columns.forEach(({ mark }, at) => {
    const last = found.at(-1)
    if (last?.mark === mark) last.length++
    else found.push({ mark, at, length: 1 })
  })
  return found
}

/** Widths are set by script: the page's policy allows no style in the markup. */
function widthOf(share: number) {
  return (element: HTMLElement | null) => {
    if (element) element.style.width = `${100 * share}%`
  }
}

/** What the strip says to who cannot see it. */
export function stripLabel(columns: readonly StripSlice[], durationS: number): string {
  const told = columns.flatMap(({ shares }) => (shares.length === 1 ? shares : []))
  if (told.length === 0)
    return `Strip of ${numeral(durationS, 1)} seconds: no share of skipped turns can be told.`
  const [least, most] = [Math.min(...told), Math.max(...told)]
  return `Strip of ${numeral(durationS, 1)} seconds: between ${percentText(least)} and ${percentText(most)} of the turns skipped. The table under Details says when.`
}
