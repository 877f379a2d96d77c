import type { StripSegment } from '../grade/stripSegments.js'
import { type Html, trusted } from '../web/html.js'
import { type StripColumn, stripPaths } from '../web/turnStrip.js'

const WIDTH = 120
const HEIGHT = 24
const COLUMNS = 30

/** A clip on a line of a table; the figures beside it say the same. */
export function clipStrip(segments: readonly StripSegment[], durationS: number): Html {
  const columns = Array.from({ length: COLUMNS }, (_, c) =>
    columnAt(segments, ((c + 0.5) / COLUMNS) * durationS),
  )
  return trusted(
    `<svg class="strip" viewBox="0 0 ${WIDTH} ${HEIGHT}" preserveAspectRatio="none" aria-hidden="true">${stripPaths(columns, WIDTH, HEIGHT)}</svg>`,
  )
}

function columnAt(segments: readonly StripSegment[], timeS: number): StripColumn {
  const skipped = segments.find((s) => timeS >= s.startS && timeS < s.endS)?.skipped
  if (skipped === undefined) return { fired: 0, skipped: 0, partial: 0, unsure: 0 }
  if (skipped === null) return { fired: 0, skipped: 0, partial: 0, unsure: 1 }
  return { fired: 1 - skipped, skipped, partial: 0, unsure: 0 }
}
