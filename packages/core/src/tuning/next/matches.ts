import type { Features } from './situation.js'

type Condition = string | number | readonly string[]

/**
 * True when every line of a rule's `when` holds: `above 6 %`, `below 30`, a word, a list of words, or a number.
 *
 * A feature that does not exist fails its line.
 */
export function matches(when: Readonly<Partial<Record<string, Condition>>>, features: Features): boolean {
  return Object.entries(when).every(([name, condition]) => {
    const found = features[name as keyof Features]
    return found !== undefined && condition !== undefined && holds(condition, found)
  })
}

function holds(condition: Condition, found: number | string): boolean {
  if (typeof condition === 'number') return found === condition
  if (typeof condition !== 'string') return condition.includes(String(found))
  const match = /^(above|below)\s+(-?[\d.]+)\s*(%?)$/.exec(condition)
  if (!match || typeof found === 'string') return condition === String(found)
  const bound = Number(match[2]) / (match[3] ? 100 : 1)
  return match[1] === 'above' ? found > bound : found < bound
}
