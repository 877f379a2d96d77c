import type { BenchAnswer } from '../../render/benchText.js'
import { quantityText } from '../../render/quantityText.js'
import { heatAnswer } from '../../sums/heat.js'
import { fieldOf, type Given } from '../../sums/inputs.js'
import { jetAnswer } from '../../sums/jet.js'
import { keyAnswer } from '../../sums/key.js'
import { premixAnswer } from '../../sums/premix.js'
import { rimAnswer } from '../../sums/rim.js'
import { speedAnswer } from '../../sums/speed.js'
import { squishAnswer } from '../../sums/squish.js'
import { timingAnswer } from '../../sums/timing.js'
import { attempt } from '../hearing/refusal.js'
import type { Typed } from '../types.js'
import { SUM_FORMS, type SumField, type SumForm, type SumWay } from './forms.js'
import { typedQuantity } from './typed.js'

const ANSWER: Readonly<Record<string, (given: Given) => BenchAnswer>> = {
  premix: premixAnswer,
  jet: jetAnswer,
  speed: speedAnswer,
  heat: heatAnswer,
  key: keyAnswer,
  rim: rimAnswer,
  timing: timingAnswer,
  squish: squishAnswer,
}

/** What a sum comes to. */
export type Worked =
  | { readonly kind: 'lacks'; readonly labels: readonly string[] }
  | {
      readonly kind: 'refused'
      /** Option of the field it is about; null where it is about several. */
      readonly option: string | null
      readonly message: string
    }
  | {
      readonly kind: 'answer'
      readonly figures: readonly { readonly name: string; readonly text: string }[]
      readonly words: readonly string[]
      readonly caution: string | null
    }

/**
 * Does a sum of `bench` with what was typed into its form.
 *
 * @param typed    by option; an empty text counts as absent
 * @param language tag of the language numbers are typed in, as in `de-DE`
 */
export function work(
  form: SumForm,
  way: SumWay,
  typed: Readonly<Record<string, Typed | undefined>>,
  language: string,
): Worked {
  const filled = way.fields.filter(({ option }) => (typed[option]?.text ?? '').trim() !== '')
  const labels = way.fields.filter((f) => f.isNeeded && !filled.includes(f)).map(({ label }) => label)
  if (labels.length > 0) return { kind: 'lacks', labels }
  const outcome = attempt(() => ANSWER[form.part]!(givenOf(filled, typed, language)))
  if ('refused' in outcome) {
    const { message, hint } = outcome.refused
    const told = hint === null || hint.startsWith('--') ? message : `${message} (${hint})`
    return {
      kind: 'refused',
      option: optionIn(message, way.fields, typed),
      message: inWords(told, way.fields),
    }
  }
  const { figures, words = [], caution } = outcome.ok
  return {
    kind: 'answer',
    figures: figures.map(({ name, quantity, kind }) => ({ name, text: quantityText(quantity, kind) })),
    words: words.map((text) => inWords(text, way.fields)),
    caution: caution ?? null,
  }
}

function givenOf(
  fields: readonly SumField[],
  typed: Readonly<Record<string, Typed | undefined>>,
  language: string,
): Given {
  const texts = fields.map((field) => {
    const { text, unit } = typed[field.option]!
    return [
      fieldOf(field.option),
      field.words ? text : typedQuantity(text, unit, language, `--${field.option}`),
    ] as const
  })
  return Object.fromEntries(texts)
}

/** The field a refusal is about: the option it names, or else the number or the part it speaks of. */
function optionIn(
  message: string,
  fields: readonly SumField[],
  typed: Readonly<Record<string, Typed | undefined>>,
): string | null {
  const holds = (part: string) => new RegExp(`(?<![\\w.-])${part}(?![\\w-])(?!\\.\\d)`, 'i').test(message)
  const number = (option: string) => /^[\d.,]+/.exec(typed[option]?.text.trim() ?? '')?.[0].replace(',', '.')
  const found =
    fields.find(({ option }) => holds(`--${option}`)) ??
    fields.find(({ option }) => number(option) && holds(number(option)!.replace('.', '\\.'))) ??
    fields.find(({ option }) => holds(option.replaceAll('-', ' ')))
  return found?.option ?? null
}

/** Options of the command line by the labels of their fields, its other parts by the titles of their forms. */
function inWords(text: string, fields: readonly SumField[]): string {
  return text
    .replace(/^--[\w-]+: /, '')
    .replace(/--([\w-]+)/g, (all, option) => quoted(fields.find((f) => f.option === option)?.label ?? all))
    .replace(/everyrev bench (\w+)/g, (all, part) =>
      quoted(SUM_FORMS.find((f) => f.part === part)?.title ?? all),
    )
}

const quoted = (label: string): string => `“${label}”`
