import type { Trial } from './types.js'

/** Words of a ride that tell of trouble which the log does not have as such. */
export interface SaidTrouble {
  readonly field: 'noise' | 'note'
  /** The whole entry, as the rider wrote it. */
  readonly text: string
}

/** A way to say that an engine seized, that its fuel went off by itself, or that it grew too hot or leaned by itself. */
interface Saying {
  readonly says: string
  /** Things that do so without harm to the engine. */
  readonly harmless: string
}

/** The engine or what turns in it, and how it ends. Chosen: what riders write who do not say seized. */
const INSIDE = 'engine|motor|piston|crank(?:shaft)?|rings?'
const ENDED = 'stuck|jammed|nipped|melted|holed|burnt|burned|scored|scuffed'

/** Chosen, in doubt for asking once too often: words riders use, and what else on a vehicle seizes, pings or rattles. */
const SAYINGS: readonly Saying[] = [
  {
    // Also in its commonest misspelling.
    says: `s(?:ei|ie)z(?:e|ed|es|ing|ures?)(?! (?:the|this|every) (?:day|chance|opportunity))|nipped up|locked up(?! (?:the|my|a) (?:bike|bicycle|moped))|(?:${INSIDE}) (?:(?:is|was|got|had|has|been|then|suddenly) )*(?:${ENDED})|(?:${ENDED}) (?:(?:a|the|its|my) )?(?:${INSIDE})|holes? in (?:the|its|my) piston`,
    harmless: 'bolts?|screws?|nuts?|studs?|brakes?|calipers?|cables?|pedals?|seat ?post|chain',
  },
  {
    says: 'ping(?:s|ing|ed)?(?!-)|pink(?:s|ing|ed)|knock(?:s|ing)?(?!-)|knocked(?! (?:down|out|into|against|off|on (?:the|a) door|over(?! (?:\\d|half|full)))\\b)|detonat\\w*|pre-?ignit\\w*',
    harmless: 'phone|spokes?|stones?|gravel|bell|mirror|door',
  },
  {
    says: 'rattl(?:e|es|ed|ing)',
    harmless:
      'mudguards?|fenders?|chain(?: ?guard)?|basket|bell|box|crates?|bottles?|rack|kick-?stand|side ?stand|mirrors?|number ?plate|brackets?|lamp|head-?light|tools?|tool ?bag|bolts?|screws?|nuts?|luggage|trailer|phone|spokes?|cables?|pedals?',
  },
  {
    says: 'overheat(?:s|ed|ing)?|(?:ran|runs|running|got|gets|getting) (?:far |much |way )?too hot|blister(?:s|ed|ing)?|air leak(?:s|ing)?|leak(?:s|ed|ing)? air|lost (?:all |its |the )?compression',
    harmless:
      'brakes?|calipers?|clutch|battery|phone|paint|hands?|fingers?|thumbs?|heels?|foot|feet|tyres?|tires?|tubes?|wheels?',
  },
]

const WORD = SAYINGS.map(({ says }) => says).join('|')
const FOUND = SAYINGS.map(({ says, harmless }) => {
  const thing = `\\b(?:${harmless})\\b`
  return {
    says: new RegExp(`\\b(?:${says})\\b`, 'gi'),
    // `the mudguard is still rattling`; but with the trailer it rattles under load.
    thingBefore: new RegExp(
      `(?<!\\bwith (?:\\w+ ){0,2})${thing}(?:\\s|\\b(?:is|was|are|were|has|had|been|just|still|again|badly)\\b)*$`,
      'i',
    ),
    // `rattle from the old basket`, `seized the rear brake`.
    thingAfter: new RegExp(
      `^(?:\\s|\\b(?:of|from|in|the|a|an|my|old|loose|rear|front|left|right|exhaust)\\b)*${thing}`,
      'i',
    ),
  }
})

/** What turns a word into its contrary, or into something only feared. */
const DENIAL =
  "(?:\\b(?:no|not|never|nor|neither|without|nothing|none|free (?:of|from)|cannot|avoid(?:s|ed|ing)?|prevent(?:s|ed|ing)?|against|(?:watch|listen|look)(?:ed|ing)? (?:out )?for|in case|(?<!as )if|(?:fear|risk|afraid) of)|n['’]t)\\b"
/** What may stand between a denial and what it denies: `no sign of any pinging`, `did not really hear it knock`, `no pinging or knocking`. */
const ACROSS = `(?:\\s|/|\\b(?:signs?|hint|trace|sounds?|noise|bit|kind|of|from|with|any|more|longer|audible|audibly|hear|heard|hearing|at|all|once|yet|be|been|being|have|has|had|is|was|a|an|the|single|to|it|engine|piston|really|actually|ever|loud|heavy|light|slight|hard|metallic|or|nor|${WORD})\\b|(?:,|\\band)(?=\\s+(?:or|nor|\\w+(?:ing|tion))\\b))`
const DENIED = new RegExp(`${DENIAL}${ACROSS}*$`, 'i')
/** `pinging: none`, `knock? no`, `the pinging is gone`. */
const DENIED_AFTER =
  /^(?: noise)?(?:\s*[:=?–-]+\s*(?:no|none|nothing|never|gone)\b|\s+(?:(?:is|are)\s+)?(?:(?:all|now)\s+)?gone\s*(?:now)?\s*,?\s*$)/i
/** How far before a word its denial is looked for, characters. Chosen: longer than a clause. */
const DENIAL_REACH = 100
/** Metal pings as it cools. */
const COOLING =
  /^\s+(?:while|when|as|after) (?:(?:it|the engine|the metal|is|was)\s+)*(?:cool|park|switched off)/i

/**
 * What a ride says under `noise` or in its `note` of a seizure, of fuel that goes off by itself, or of an engine that grows too hot or leaner by
 * itself, where nothing is written under `trouble`.
 * What is denied (`no pinging`), only feared (`listened for knocking`) or said of another thing (`the mudguard rattles`) is none.
 *
 * @returns null where there is nothing of the kind, or `trouble` says what it was
 */
export function saidTrouble({
  trouble,
  noise,
  note,
}: Pick<Trial, 'trouble' | 'noise' | 'note'>): SaidTrouble | null {
  if (trouble !== null) return null
  if (noise !== null && tellsTrouble(noise)) return { field: 'noise', text: noise }
  return note !== null && tellsTrouble(note) ? { field: 'note', text: note } : null
}

function tellsTrouble(text: string): boolean {
  return clausesOf(text).some((clause) =>
    FOUND.some(({ says, thingBefore, thingAfter }) =>
      [...clause.matchAll(says)].some(({ 0: word, index }) => {
        const before = clause.slice(Math.max(0, index - DENIAL_REACH), index)
        const after = clause.slice(index + word.length)
        if (thingBefore.test(before) || thingAfter.test(after)) return false
        if (/^ping/i.test(word) && COOLING.test(after)) return false
        return !DENIED.test(before + word) && !DENIED_AFTER.test(after)
      }),
    ),
  )
}

/** Parts of a text in which a denial holds. */
function clausesOf(text: string): string[] {
  return text.split(/[.;!\n()]+|\b(?:but|then|until|although|though|except)\b/i)
}
