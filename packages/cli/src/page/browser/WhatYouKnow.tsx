import { useState } from 'preact/hooks'
import { FASTEST_RPM, SLOWEST_RPM } from '../../clip/constants.js'
import type { Expected } from '../types.js'
import { readNumber } from './language.js'

export interface WhatYouKnowProps {
  readonly expected: Expected
  readonly worth: number
  onExpect(expected: Expected): void
  onWorth(worth: number): void
}

/** What the rider knows already: crank speed, and what change is worth noticing. */
export function WhatYouKnow({ expected, worth, onExpect, onWorth }: WhatYouKnowProps) {
  const [low, setLow] = useState(String(expected?.[0] ?? ''))
  const [high, setHigh] = useState(String(expected?.[1] ?? ''))
  const [wrong, setWrong] = useState('')
  const take = (event: Event) => {
    event.preventDefault()
    const found = readSpeeds(low, high)
    setWrong(found === undefined ? WRONG_SPEEDS : '')
    if (found !== undefined) onExpect(found)
  }
  return (
    <details class="card">
      <summary>What you know</summary>
      <form onSubmit={take}>
        <fieldset>
          <legend>Crank speed the engine runs at, rpm; empty if you do not know</legend>
          <div class="row">
            <label class="field">
              <span>from</span>
              <input
                inputMode="numeric"
                value={low}
                onInput={({ currentTarget }) => setLow(currentTarget.value)}
              />
            </label>
            <label class="field">
              <span>to</span>
              <input
                inputMode="numeric"
                value={high}
                onInput={({ currentTarget }) => setHigh(currentTarget.value)}
              />
            </label>
            <button type="submit">Hear again</button>
          </div>
        </fieldset>
        {wrong && (
          <p class="caution" role="alert">
            {wrong}
          </p>
        )}
      </form>
      <label class="field">
        <span>Smallest change worth noticing, points of a hundred turns</span>
        <input
          type="number"
          min={1}
          max={50}
          value={Math.round(100 * worth)}
          onChange={({ currentTarget }) => {
            const points = currentTarget.valueAsNumber
            if (points >= 1 && points <= 50) onWorth(points / 100)
            else currentTarget.value = String(Math.round(100 * worth))
          }}
        />
      </label>
    </details>
  )
}

const WRONG_SPEEDS = `Give two speeds from ${SLOWEST_RPM} to ${FASTEST_RPM} rpm, the lower one first, or leave both empty.`

/** Undefined for what is no pair of speeds. */
function readSpeeds(low: string, high: string): Expected | undefined {
  if (low.trim() === '' && high.trim() === '') return null
  const [from, to] = [readNumber(low), readNumber(high)]
  const fits = from >= SLOWEST_RPM && from < to && to <= FASTEST_RPM
  return fits ? [from, to] : undefined
}
