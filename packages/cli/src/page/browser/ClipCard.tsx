import { useEffect, useMemo, useState } from 'preact/hooks'
import { clipSpeedText, lengthText } from '../../render/numbers.js'
import { unbroken } from '../../web/unbroken.js'
import { NO_FIGURE } from '../texts.js'
import type { ClipTurns, Side, Span } from '../types.js'
import { ClipSound } from './ClipSound.js'
import { saveFile } from './files.js'
import { Choice } from './parts.js'
import { refusalText } from './refusalText.js'
import { Strip, stripLabel } from './Strip.js'
import { shortName } from './shortName.js'
import type { Clip, ClipStatus } from './state.js'

export interface ClipCardProps {
  readonly clip: Clip
  /** Trial the clip is kept in. */
  readonly trial: number | null
  turnsOf(clip: Clip): Promise<ClipTurns>
  onTrim(span: Span | null): void
  onMark(side: Side): void
  onRemove(): void
}

const SIDE_WORD = { before: 'before', after: 'after', aside: 'left out' } as const

const SIDES: readonly (readonly [Side, string])[] = [
  ['before', 'Before'],
  ['after', 'After'],
  ['aside', 'Leave out'],
]

/** One clip in a line that opens: what was heard, on which side it stands. */
export function ClipCard({ clip, trial, turnsOf, onTrim, onMark, onRemove }: ClipCardProps) {
  const { name, sound, recorded, status } = clip
  const [isOpen, setOpen] = useState(false)
  // Drawn anew only when there is something new to show: the page is drawn for every message.
  const heard = useMemo(() => <Heard name={name} status={status} />, [name, status])
  return (
    <li class="clip">
      <details open={status.kind === 'refused'} onToggle={({ currentTarget }) => setOpen(currentTarget.open)}>
        <summary>
          <b class={status.kind === 'heard' ? 'share heard' : 'share'}>{inShort(status)}</b>
          <span class="name">{shortName(name)}</span>
          <span class="quiet">
            {SIDE_WORD[clip.side]}
            {clip.span && ', a part'}
            {trial !== null && `, trial ${trial}`}
          </span>
        </summary>
        {heard}
        {status.kind !== 'refused' && (
          <Choice
            name={`side-${clip.id}`}
            legend={`Side of ${name}`}
            options={SIDES}
            value={clip.side}
            onPick={onMark}
          />
        )}
        {status.kind === 'heard' && sound && isOpen && (
          <Sound clip={clip} sound={sound} turnsOf={turnsOf} onTrim={onTrim} />
        )}
        <div class="row">
          {recorded && sound && (
            <button type="button" onClick={() => saveFile(sound, name)}>
              Save the sound
            </button>
          )}
          <button type="button" class="plain" onClick={onRemove} aria-label={`Remove ${name}`}>
            Remove
          </button>
        </div>
      </details>
    </li>
  )
}

/** The sound with its turns, once they are there. */
function Sound({
  clip,
  sound,
  turnsOf,
  onTrim,
}: Pick<ClipCardProps, 'clip' | 'turnsOf' | 'onTrim'> & { sound: Blob }) {
  const [turns, setTurns] = useState<ClipTurns | null>(null)
  const { name, span, status } = clip
  useEffect(() => void turnsOf(clip).then(setTurns), [status])
  if (!turns || status.kind !== 'heard') return null
  return (
    <ClipSound
      name={name}
      sound={sound}
      turns={turns}
      wholeS={clip.wholeS ?? status.answer.durationS}
      span={span}
      onTrim={onTrim}
    />
  )
}

/** What a line has room for. */
function inShort(status: ClipStatus): string {
  if (status.kind === 'heard')
    return status.answer.verdict === 'measured' ? (status.answer.figure.value ?? NO_FIGURE) : 'no answer'
  return { waiting: 'Waiting', reading: 'Reading', listening: 'Listening', refused: 'refused' }[status.kind]
}

function Heard({ name, status }: { name: string; status: ClipStatus }) {
  if (status.kind === 'refused')
    return <p class="caution">This file {refusalText(status.refusal).replace(/\.?$/, '.')}</p>
  if (status.kind !== 'heard') return null
  const { answer } = status
  const [first, ...more] = answer.sentences
  return (
    <>
      {answer.verdict === 'measured' && (
        <p class="figures">
          <strong>{answer.figure.value ?? NO_FIGURE}</strong> {answer.figure.value !== null && 'skipped'}
          {answer.figure.interval && `, ${answer.figure.interval} (95 %)`}
          {answer.rpm !== null && ` · ${clipSpeedText(answer.rpm)} rpm`} · {lengthText(answer.durationS)}
        </p>
      )}
      <p>
        {first} {more.join(' ')}
      </p>
      {answer.strip.length > 0 && (
        <Strip
          columns={answer.strip}
          durationS={answer.durationS}
          speedRange={answer.speedRange}
          label={stripLabel(answer.strip, answer.durationS)}
        />
      )}
      {answer.segments.length > 1 && (
        <details>
          <summary>Details</summary>
          <Table rows={answer.segments} caption={`Kinds of running in ${name}`} />
        </details>
      )}
      {answer.remarks.map((remark) => (
        <p key={remark} class="quiet">
          {remark}
        </p>
      ))}
    </>
  )
}

export function Listening({ lengthS, startedMs, expectS }: Extract<ClipStatus, { kind: 'listening' }>) {
  const [nowMs, setNowMs] = useState(performance.now())
  useEffect(() => {
    const timer = setInterval(() => setNowMs(performance.now()), 250)
    return () => clearInterval(timer)
  }, [])
  // How far it is is a guess from earlier clips, so it never claims to be done.
  const share = Math.min(0.95, (nowMs - startedMs) / 1000 / Math.max(0.5, expectS))
  return (
    <div class="listening">
      <p class="quiet">Listening to {lengthText(lengthS)} of sound ...</p>
      <progress aria-label="Listening" max={1} value={share} />
    </div>
  )
}

/** Rows of cells, a head row first, in a box of its own that can be pushed sideways. */
export function Table(props: { rows: readonly (readonly string[])[]; caption: string; isWrapped?: boolean }) {
  const { rows, caption, isWrapped = false } = props
  const [head, ...body] = rows
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls has to be reached by key (WCAG 2.1.1)
    <section class={isWrapped ? 'table wrapped' : 'table'} tabIndex={0} aria-label={caption}>
      <table>
        <thead>
          <tr>
            {head!.map((cell, i) => (
              <th key={i} scope="col">
                {cell || <span class="unseen">figure</span>}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {body.map((row, r) => (
            <tr key={r}>
              {row.map(unbroken).map((cell, i) =>
                i === 0 ? (
                  <th key={i} scope="row">
                    {cell}
                  </th>
                ) : (
                  <td key={i}>{cell}</td>
                ),
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}
