import {
  type Change,
  changeText,
  knobNamed,
  leanerSign,
  type Suggestion,
  type TuningLog,
  wayWord,
} from '@everyrev/core/tuning'
import { escapeControls } from '../escape.js'
import { numeral } from '../numeral.js'
import { paragraphs } from '../paragraphs.js'
import { unitText } from '../quantityText.js'
import { wrap } from '../wrap.js'

/** Suggestions told where not all are asked for. */
const TOLD = 3

export interface NextStyle {
  readonly file: string
  readonly width: number
  readonly all: boolean
  /** Unit that the example of a temperature is in. */
  readonly unit: TuningLog['unit']
}

/** The answer of `next` as text: suggestions, best first, and how to record the first. Ends with a line feed. */
export function nextText(suggestions: readonly Suggestion[], style: NextStyle): string {
  const { width, all } = style
  const [top] = suggestions
  if (!top) return 'The rules have nothing to suggest for this log.\n'
  // What the suggestions share is told once.
  const shared = top.evidence.slice(0, 1)
  const told = all ? suggestions : suggestions.slice(0, TOLD)
  const parts = [
    shared.flatMap((line) => wrap(line, width)),
    ...told.map((suggestion, i) => suggestionLines(suggestion, i + 1, shared, width)),
    recordLines(top, style),
    wrap(NEXT_CAUTION, width),
  ]
  return paragraphs(parts)
}

/** Said below every suggestion. */
export const NEXT_CAUTION =
  'Caution: these are rules of thumb and do not know your engine. Go back when it runs hotter without gain, pulls worse or rattles; a lean or hot engine seizes. Flywheel, fuel and ignition: a qualified mechanic if you are not sure.'

function suggestionLines(s: Suggestion, number: number, shared: readonly string[], width: number): string[] {
  const lines = [
    ...hang(`${number}. `, suggestionHeadline(s), width),
    ...s.evidence.filter((line) => !shared.includes(line)).flatMap((line) => hang('   ', line, width)),
    ...hang('   ', s.why, width),
    ...hang('   Look for: ', s.look, width, 3),
    ...hang('   Rule: ', `${s.rule} (${s.source})`, width, 3),
  ]
  return lines
}

/** What to do, in one sentence. */
export function suggestionHeadline(s: Suggestion): string {
  const first = s.first.map(changeText).join(' and ')
  switch (s.kind) {
    case 'change':
      return `${first ? `Go back to trial ${s.from!.number} (${first}), then try` : 'Try'} ${changeText(s.change!)} (${inchesOf(s.change!)}${way(s)}).`
    case 'halt':
    case 'check':
    case 'wait':
      return s.say!
    case 'write-down':
      return 'Write down what the knobs stand at.'
    case 'leave':
      return first
        ? `Go back to trial ${s.from!.number} (${first}) and leave it there.`
        : 'Leave it as it is.'
    case 'back':
      return `Go back: ${first}, as in trial ${s.from!.number}.`
    case 'separate':
      return `Take one of the last changes back: ${changeText(s.change!)}.`
    case 'return':
      return `Ride the best setting again${first ? ` (${first}, as in trial ${s.from!.number})` : ''} to see whether the engine has drifted.`
    case 'repeat':
      return 'Ride the last trial again.'
    case 'record':
      return 'Ride the engine as it is and record it.'
    case 'measure-head':
      return s.say ?? 'Measure the head temperature.'
    case 'stop':
      return first ? `Go back to trial ${s.from!.number} (${first}) and stop here.` : 'Stop here.'
  }
}

const INCHES = /\d\s*(?:in(?:ch(?:es)?)?\b|thou\b|["″])/i

/** `0.022 in, `: what a change leads to in inches, where it is told in millimetres and stands in inches now; else nothing. */
function inchesOf({ from, to }: Change): string {
  const isAsked = from !== null && INCHES.test(from.text) && /\d mm\b/.test(to.text)
  if (!isAsked || to.value === null) return ''
  const { value, unit } = unitText({ value: Math.abs(to.value), plusMinus: 0 }, 'length', 'imperial')
  return `${numeral(value, 3)} ${unit}, `
}

/** `leaner`, `later`: which way a change goes, in the knob's own words. */
function way({ change }: Suggestion): string {
  const { knob: name, from, to } = change as Change
  const knob = knobNamed(name)
  if (!knob || from?.value == null || to.value === null) return 'other'
  const leans = leanerSign(knob, to.text) * (to.value - from.value)
  if (leans !== 0 && knob.name !== 'premix') return leans > 0 ? 'leaner' : 'richer'
  return wayWord(knob, to.text, to.value - from.value)
}

/** What is followed by a ride to record. */
export const RIDDEN: readonly Suggestion['kind'][] = [
  'change',
  'back',
  'separate',
  'repeat',
  'return',
  'record',
]

/** A mild day and a usual head, in round degrees. Chosen. */
const EXAMPLE = { C: '--air 15C --head 175C', F: '--air 60F --head 350F' } as const

/** How to record the first suggestion. */
function recordLines(s: Suggestion, { file, width, unit }: NextStyle): string[] {
  if (!RIDDEN.includes(s.kind)) return []
  const change = [...s.first, ...(s.change ? [s.change] : [])]
  const options = change.map((c) => ` --change "${changeText(c)}"`).join('')
  return [
    ...wrap(
      `To record it: engine warm, same stretch, same speed, one throttle, phone mounted before you set off; two or three passes at least; with ${s.passes} a change of 5 points can usually be heard. Then:`,
      width,
    ),
    `  everyrev log add ${escapeControls(file)}${options} \\`,
    `    --clip A.m4a --clip B.m4a ${EXAMPLE[unit]} --warm --pull same`,
  ]
}

function hang(lead: string, text: string, width: number, indent = lead.length): string[] {
  const [first, ...rest] = wrap(lead.trim() + (lead.trim() ? ' ' : '') + text, width - indent)
  const margin = ' '.repeat(indent)
  const start = ' '.repeat(lead.length - lead.trimStart().length)
  return [`${start}${first ?? ''}`, ...rest.map((line) => margin + line)]
}
