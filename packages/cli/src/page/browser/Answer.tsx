import { clipSpeedText, lengthText } from '../../render/numbers.js'
import { NO_FIGURE } from '../texts.js'
import type { ClipAnswer, Figure } from '../types.js'
import type { Pictured } from './answerPicture.js'
import { Listening } from './ClipCard.js'
import { refusalText } from './refusalText.js'
import { shortName } from './shortName.js'
import type { Clip, State } from './state.js'
import { SideBySide, Verdict } from './Verdict.js'

export interface AnswerProps {
  readonly clip: Clip
  readonly comparison: State['comparison']
  /** Trial the clip is kept in. */
  readonly trial: number | null
  readonly engine: string | null
  onKeep(): void
  onNext(): void
  onNextChange(): void
  /** All clips, from which the picture of a comparison takes the other side. */
  readonly others: readonly Clip[]
  onShare(text: string, pictured: Pictured): void
}

const SIDE_NAME = { before: 'Before the change', after: 'After the change', aside: 'Left out' } as const

/** What the newest clip says, the verdict, and what to do with them. */
export function Answer(props: AnswerProps) {
  const { clip, comparison, trial, engine, onKeep, onNext, onNextChange, onShare } = props
  const { status, name, side } = clip
  const measured = status.kind === 'heard' && status.answer.verdict === 'measured' ? status.answer : null
  return (
    <section class="card answer-card" aria-labelledby="newest">
      <h2 id="newest" class="quiet">
        {SIDE_NAME[side]}, <span class="name">{shortName(name)}</span>
      </h2>
      <Newest status={status} isCompared={comparison !== null && side !== 'aside'} />
      {measured && side !== 'aside' && <Verdict comparison={comparison} />}
      {measured && (
        <>
          {trial !== null && (
            <p class="kept">
              Kept as trial {trial} of {engine}.
            </p>
          )}
          <div class="row actions">
            {trial === null ? (
              <button type="button" class="main" onClick={onKeep}>
                Keep it
              </button>
            ) : (
              <button type="button" class="main" onClick={onNext}>
                What next?
              </button>
            )}
            {comparison && (
              <button type="button" onClick={onNextChange}>
                Next change
              </button>
            )}
            <button
              type="button"
              onClick={() => onShare(shared(measured, comparison), picturedOf(props, measured))}
            >
              Share
            </button>
          </div>
          {side !== 'aside' && <SideBySide comparison={comparison} />}
        </>
      )}
    </section>
  )
}

/** The answer as a text for others. */
function shared({ sentences }: ClipAnswer, comparison: State['comparison']): string {
  const verdict = comparison && 'answer' in comparison ? comparison.answer : null
  const said = verdict ? [...verdict.sentences, verdict.caution ?? ''] : sentences.slice(0, 2)
  return `${said.join(' ').trim()} (everyrev)`
}

/** The newest clip, and with a verdict the newest of the other side. */
function picturedOf({ clip, others, comparison }: AnswerProps, measured: ClipAnswer): Pictured {
  const own = { title: titleOf(clip), answer: measured }
  const verdict = comparison && 'answer' in comparison ? comparison.answer : null
  if (!verdict) return { clips: [own], verdict }
  const other = others.findLast(
    ({ side, status }) => side !== clip.side && side !== 'aside' && status.kind === 'heard',
  )
  const both =
    other?.status.kind === 'heard' ? [{ title: titleOf(other), answer: other.status.answer }, own] : [own]
  return { clips: clip.side === 'before' ? both.reverse() : both, verdict }
}

const titleOf = ({ side, name }: Clip): string => `${SIDE_NAME[side]}: ${shortName(name)}`

/** @param isCompared a verdict stands below, which says what to do: here is only why there is no figure */
function Newest({ status, isCompared }: { status: Clip['status']; isCompared: boolean }) {
  if (status.kind === 'waiting') return <p>Waiting for its turn.</p>
  if (status.kind === 'reading') return <p>Reading the clip ...</p>
  if (status.kind === 'listening') return <Listening {...status} />
  if (status.kind === 'refused')
    return <p class="caution">This file {refusalText(status.refusal).replace(/\.?$/, '.')}</p>
  const { verdict, figure, sentences, rpm, durationS } = status.answer
  if (verdict !== 'measured') return <p class="plain-answer">{sentences[0]}</p>
  const [, sureness, ...more] = sentences
  const isWhole = figure.value === null && !isCompared
  return (
    <>
      <BigFigure figure={figure} />
      {isWhole ? (
        <p>{[sureness, ...more].join(' ')}</p>
      ) : (
        <p>
          {sureness}{' '}
          <span class="quiet">{`${rpm === null ? '' : `${clipSpeedText(rpm)} rpm, `}${lengthText(durationS)}.`}</span>
        </p>
      )}
    </>
  )
}

/** The share of skipped turns, as large as it matters. */
export function BigFigure({ figure: { value, interval } }: { figure: Figure }) {
  return (
    <p class="figures">
      <strong>{value ?? NO_FIGURE}</strong> {value !== null && 'skipped'}
      {interval && <span class="interval">{interval} (95 %)</span>}
    </p>
  )
}
