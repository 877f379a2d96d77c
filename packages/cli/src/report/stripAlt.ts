import { type Analysis, LABELS } from '@everyrev/core'

/** What the strip shows, in words. */
export function stripAlt(analysis: Analysis): string {
  const { label } = analysis.revolutions
  const counts = LABELS.map((name, code) => `${label.filter((l) => l === code).length} ${name}`)
  if (label.length === 0) return 'Strip over the clip: no turn of an engine is heard.'
  return `Strip over the clip of ${analysis.durationS.toFixed(1)} s: ${label.length} turns, ${counts.join(', ')}.`
}
