import type { NextAnswer, NextStep } from '../types.js'
import { useFocusedHeading } from './parts.js'

/** What to try next, on what evidence, with its cautions. */
export function NextView(props: {
  readonly next: NextAnswer | null
  onPlan(step: NextStep): void
  onClose(): void
}) {
  const { next, onPlan, onClose } = props
  const heading = useFocusedHeading()
  return (
    <section class="next" aria-labelledby="next">
      <h2 id="next" ref={heading} tabIndex={-1}>
        What next?
      </h2>
      {next === null ? (
        <p class="quiet">Reading the log ...</p>
      ) : (
        <>
          {next.steps.length === 0 && <p>The rules have nothing to suggest for this log.</p>}
          <ol class="clips">
            {next.steps.map((step, k) => (
              <Step key={step.say} step={step} isFirst={k === 0} onPlan={onPlan} />
            ))}
          </ol>
          {next.steps[0]?.isRidden && (
            <p class="quiet">
              Two or three passes at least; with {next.passes} a change of 5 points can usually be heard.
            </p>
          )}
          <p class="caution">{next.caution}</p>
        </>
      )}
      <button type="button" onClick={onClose}>
        Back
      </button>
    </section>
  )
}

function Step(props: { step: NextStep; isFirst: boolean; onPlan(step: NextStep): void }) {
  const { step, isFirst, onPlan } = props
  return (
    <li class="card">
      <h3>{step.say}</h3>
      {step.evidence.map((line) => (
        <p key={line}>{line}</p>
      ))}
      {step.isRidden && (
        <button type="button" class={isFirst ? 'main' : ''} onClick={() => onPlan(step)}>
          Do this next
        </button>
      )}
      <details open={isFirst}>
        <summary>Why, and what to look for</summary>
        <p>{step.why}</p>
        <p>Look for: {step.look}</p>
        <p class="quiet">Source: {step.source}</p>
      </details>
    </li>
  )
}
