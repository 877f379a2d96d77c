import type { Trouble } from './types.js'

const KINDS = [
  ['none', /^\W*(none|no|no trouble|nothing|mended|fixed|repaired|ok)\W*$/i],
  ['seized', /seiz|stuck|locked|nipped/i],
  ['rattle', /rattl|ping|pink|knock|detonat/i],
  ['smoke', /smok/i],
  ['pull', /pull|power/i],
] as const

/**
 * Reads what went wrong: `seized`, `rattles on the hill`, `white smoke`, `no pull left`, other words, or `none`, which says
 * that the cause was found and mended.
 */
export function parseTrouble(words: string): Trouble {
  return { kind: KINDS.find(([, says]) => says.test(words))?.[0] ?? 'other', words: words.trim() }
}
