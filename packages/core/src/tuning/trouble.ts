import { OptionError } from '../errors.js'
import type { Trouble } from './types.js'

const KINDS = [
  ['none', /^\W*(none|no|no trouble|nothing|mended|fixed|repaired|ok)\W*$/i],
  ['seized', /seiz|siez|stuck|jammed|locked|nipped|melted|holed|hole in/i],
  ['rattle', /rattl|ping|pink|knock|detonat/i],
  ['smoke', /smok/i],
  ['pull', /pull|power/i],
] as const

/** What an engine is better without; never what it needs, as in “no power”, “no oil”. */
const FAULT =
  '(?:problems?|issues?|troubles?|faults?|complaints?|noises?|rattl(?:es?|ing)|knock(?:s|ing)?|pings?|ping?ing|pinking|detonation|smok(?:e|ing)|seiz(?:ures?|ing))'
const DENIALS = [
  'no|none|ok|okay',
  'nothing(?: wrong| bad| odd| unusual| special)?',
  `(?:no|0|zero)(?: more)? ${FAULT}(?: n?or (?:no )?${FAULT})*`,
  'not (?:seized|stuck|locked|smoking|(?:rattl|knock|ping|pink)ing)',
  "(?:did|does)(?: not|n[’']t) (?:seize|smoke|rattle|knock|ping|pink)",
  '(?:(?:all|everything|it|is|was|runs?|ran|still) )*(?:good|well|fine|ok|okay|great)',
  'n/?a|0',
]
const DENIAL = new RegExp(`^(?:${DENIALS.join('|')})(?: (?:at all|so far|yet|today|whatsoever))?$`)
/** Each part of what was written has to deny: in “no rattle, smoke” the smoke is told. */
const BETWEEN_PARTS = /\s*[,;.!]\s*|\s+(?:and|but)\s+|\s+(?=no\s)/

/**
 * Reads what went wrong: `seized`, `rattles on the hill`, `white smoke`, `no pull left`, other words, or `none`, which says
 * that the cause was found and mended.
 *
 * @returns null for words that only deny, as in `no problems` or `-`: they tell of no trouble, and mend none told before
 */
export function parseTrouble(words: string): Trouble | null {
  const kind = KINDS.find(([, says]) => says.test(words))?.[0] ?? 'other'
  return kind !== 'none' && deniesTrouble(words) ? null : { kind, words: words.trim() }
}

function deniesTrouble(words: string): boolean {
  const plain = words.trim().toLowerCase().replace(/\s+/g, ' ')
  if (/^[-–—./]+$/.test(plain)) return true
  const parts = plain.split(BETWEEN_PARTS).filter((part) => part !== '')
  return parts.length > 0 && parts.every((part) => DENIAL.test(part))
}

/**
 * Refuses, where a trouble is entered, words that only deny it.
 *
 * @throws {OptionError} `out-of-range`
 */
export function checkTrouble(words: string): void {
  if (parseTrouble(words) !== null) return
  throw new OptionError(
    'out-of-range',
    `trouble: “${words}” does not say what went wrong`,
    'write none, or what was wrong',
  )
}
