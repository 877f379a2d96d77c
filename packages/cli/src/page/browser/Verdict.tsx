import type { CompareVerdict } from '@everyrev/core'
import { Table } from './ClipCard.js'
import { refusalText } from './refusalText.js'
import type { State } from './state.js'

/** How a verdict is told besides words: an arrow down for fewer skips, up for more, signs for the rest. */
const SIGN: Readonly<Record<CompareVerdict, string>> = {
  helped: '↓',
  worse: '↑',
  same: '=',
  unclear: '?',
  'not-comparable': '≠',
}

export function Verdict({ comparison, onNext }: { comparison: State['comparison']; onNext(): void }) {
  if (!comparison) return null
  if ('refused' in comparison) return <p class="caution">{refusalText(comparison.refused)}</p>
  const { verdict, sentences, rows, reasons, caution } = comparison.answer
  const [first, ...more] = sentences
  return (
    <section class={`card verdict verdict-${verdict}`} aria-labelledby="verdict">
      <h2 id="verdict">
        <span class="sign" aria-hidden="true">
          {SIGN[verdict]}
        </span>
        {first}
      </h2>
      <p>{more.join(' ')}</p>
      <Table rows={rows} caption="Before and after" isWrapped />
      {reasons.length > 0 && (
        <ul>
          {reasons.map((reason) => (
            <li key={reason}>{reason}</li>
          ))}
        </ul>
      )}
      {caution && <p class="caution">{caution}</p>}
      <button type="button" onClick={onNext}>
        Next change: make the “after” clips the new “before”
      </button>
    </section>
  )
}
