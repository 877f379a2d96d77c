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

/** What the change did, and the caution that goes with it. */
export function Verdict({ comparison }: { comparison: State['comparison'] }) {
  if (!comparison) return null
  if ('refused' in comparison) return <p class="caution">{refusalText(comparison.refused)}</p>
  const { verdict, sentences, caution } = comparison.answer
  const [first, ...more] = sentences
  return (
    <div class={`verdict verdict-${verdict}`}>
      <h3 id="verdict">
        <span class="sign" aria-hidden="true">
          {SIGN[verdict]}
        </span>
        {first}
      </h3>
      <p>{more.join(' ')}</p>
      {caution && <p class="caution">{caution}</p>}
    </div>
  )
}

/** Both sides in figures and why the verdict is no surer, for those who open it. */
export function SideBySide({ comparison }: { comparison: State['comparison'] }) {
  if (!comparison || 'refused' in comparison) return null
  const { rows, reasons } = comparison.answer
  return (
    <details>
      <summary>Side by side</summary>
      <Table rows={rows} caption="Before and after" isWrapped />
      {reasons.length > 0 && (
        <ul>
          {reasons.map((reason) => (
            <li key={reason}>{reason}</li>
          ))}
        </ul>
      )}
    </details>
  )
}
