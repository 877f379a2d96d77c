import { LABELS } from '@everyrev/core'
import { useRef, useState } from 'preact/hooks'
import { numeral } from '../../render/numeral.js'
import { stateMarkSvg } from '../../web/stateMarks.js'
import { firstTurnAfter, stripColumnCount, stripColumns, stripPaths } from '../../web/turnStrip.js'
import type { ClipTurns, Span } from '../types.js'
import { readNumber } from './language.js'
import { TextField } from './parts.js'
import { useObjectUrl } from './useObjectUrl.js'

const WIDTH = 360
const HEIGHT = 96
const COLUMNS = 90
/** As many turns as can bear their word each. */
const WORDED_TURNS = 24
/** What a press of a button makes of the part that is shown: this much of it, or on by so much. */
const CLOSER = 0.5
const ON = 0.5
/** Shortest part shown, seconds: a turn at the slowest idle. */
const LEAST_S = 0.1

export interface ClipSoundProps {
  readonly name: string
  readonly sound: Blob
  /** Turns of what is heard, at their places in the whole sound. */
  readonly turns: ClipTurns
  readonly wholeS: number
  /** The part that is heard; null for all of it. */
  readonly span: Span | null
  onTrim(span: Span | null): void
}

/** The sound of a clip with its turns: to play, to look at turn by turn, and to say which part of it counts. */
export function ClipSound({ name, sound, turns, wholeS, span, onTrim }: ClipSoundProps) {
  const player = useRef<HTMLAudioElement>(null)
  const url = useObjectUrl(sound)
  const [shown, setShown] = useState<Span>(span ?? { fromS: 0, toS: wholeS })
  const [nowS, setNowS] = useState<number | null>(null)
  const untilS = useRef(Number.POSITIVE_INFINITY)
  const show = (fromS: number, lengthS: number) => {
    const length = Math.min(wholeS, Math.max(LEAST_S, lengthS))
    const from = Math.min(wholeS - length, Math.max(0, fromS))
    setShown({ fromS: from, toS: from + length })
  }
  const lengthS = shown.toS - shown.fromS
  const zoom = (by: number) => {
    // Around the moment one listens to, where that is in sight.
    const isSeen = nowS !== null && nowS > shown.fromS && nowS < shown.toS
    const middleS = isSeen ? nowS : shown.fromS + lengthS / 2
    show(middleS - (lengthS * by) / 2, lengthS * by)
  }
  const push = (by: number) => show(shown.fromS + by * lengthS, lengthS)
  const play = () => {
    const audio = player.current
    if (!audio) return
    if (!audio.paused) return audio.pause()
    audio.currentTime = shown.fromS
    untilS.current = shown.toS
    void audio.play()
  }
  const follow = () => {
    const audio = player.current
    if (!audio) return
    setNowS(audio.currentTime)
    if (audio.currentTime >= untilS.current) {
      untilS.current = Number.POSITIVE_INFINITY
      audio.pause()
    }
  }
  const drag = useDrag((share) => show(shown.fromS - share * lengthS, lengthS))
  return (
    <section class="clip-sound" aria-label={`Sound and turns of ${name}`}>
      <TurnPlot name={name} turns={turns} shown={shown} nowS={nowS} drag={drag} onPush={push} onZoom={zoom} />
      <div class="axis" aria-hidden="true">
        <span>{numeral(shown.fromS, 2)} s</span>
        <span>{numeral(shown.toS, 2)} s</span>
      </div>
      <div class="row tools">
        <Tool name="Zoom in" sign="+" onUse={() => zoom(CLOSER)} />
        <Tool name="Zoom out" sign="−" onUse={() => zoom(1 / CLOSER)} />
        <Tool name="Earlier" sign="◀" onUse={() => push(-ON)} />
        <Tool name="Later" sign="▶" onUse={() => push(ON)} />
        <button
          type="button"
          onClick={() => {
            const atS = turns.timeS[firstTurnAfter(turns, nowS ?? shown.fromS)] ?? shown.fromS
            show(atS, wordedS(turns, atS))
          }}
        >
          Turn by turn
        </button>
        <button type="button" onClick={play}>
          Play what is shown
        </button>
      </div>
      {url && (
        // biome-ignore lint/a11y/useMediaCaption: the sound of an engine has no words
        <audio ref={player} controls src={url} aria-label={`Sound of ${name}`} onTimeUpdate={follow} />
      )}
      <Trim key={`${shown.fromS} ${shown.toS}`} shown={shown} wholeS={wholeS} span={span} onTrim={onTrim} />
    </section>
  )
}

function Tool({ name, sign, onUse }: { name: string; sign: string; onUse(): void }) {
  return (
    <button type="button" aria-label={name} onClick={onUse}>
      {sign}
    </button>
  )
}

/** Length of as many turns as can bear their words, seconds, at the speed around a moment. */
function wordedS(turns: ClipTurns, atS: number): number {
  const first = Math.min(firstTurnAfter(turns, atS), Math.max(0, turns.timeS.length - WORDED_TURNS))
  const last = Math.min(turns.timeS.length - 1, first + WORDED_TURNS - 4)
  return last > first ? turns.timeS[last]! + turns.durationS[last]! - turns.timeS[first]! : LEAST_S
}

function TurnPlot(props: {
  name: string
  turns: ClipTurns
  shown: Span
  nowS: number | null
  drag: ReturnType<typeof useDrag>
  onPush(by: number): void
  onZoom(by: number): void
}) {
  const { name, turns, shown, nowS, drag, onPush, onZoom } = props
  const { fromS, toS } = shown
  const lengthS = toS - fromS
  const first = firstTurnAfter(turns, fromS)
  let end = first
  while (end < turns.timeS.length && turns.timeS[end]! < toS) end++
  const xOf = (timeS: number) => (WIDTH * (timeS - fromS)) / lengthS
  const isWorded = end - first <= WORDED_TURNS
  const drawn = isWorded
    ? wordedTurns(turns, first, end, xOf)
    : stripPaths(stripColumns(turns, fromS, toS, stripColumnCount(end - first, COLUMNS)), WIDTH, HEIGHT)
  const moves: Readonly<Record<string, () => void>> = {
    ArrowLeft: () => onPush(-ON / 2),
    ArrowRight: () => onPush(ON / 2),
    '+': () => onZoom(CLOSER),
    '-': () => onZoom(1 / CLOSER),
  }
  return (
    <>
      <section
        class="turn-plot"
        aria-label={`Turns of ${name}; arrows push, plus and minus zoom`}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: it is pushed and zoomed by key
        tabIndex={0}
        {...drag}
        onKeyDown={(event) => {
          const move = moves[event.key]
          if (!move) return
          event.preventDefault()
          move()
        }}
      >
        <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} aria-hidden="true">
          <g dangerouslySetInnerHTML={{ __html: drawn }} />
          {nowS !== null && <path class="now" d={`M${xOf(nowS).toFixed(1)} 0V${HEIGHT}`} />}
        </svg>
      </section>
      <p class={isWorded && end > first ? 'quiet' : 'unseen'} role="status">
        {isWorded && end > first
          ? `Turns ${first + 1} to ${end}: ${runsOfWords(turns, first, end)}.`
          : end === first
            ? 'No turn is heard here.'
            : ''}
      </p>
      {!isWorded && (
        <p class="quiet">Fired turns stand at the bottom, skipped ones hang, hatched, from the top.</p>
      )}
    </>
  )
}

/** Every turn by its mark, its word written upwards under it. */
function wordedTurns(turns: ClipTurns, first: number, end: number, xOf: (timeS: number) => number): string {
  let drawn = ''
  for (let i = first; i < end; i++) {
    const left = xOf(turns.timeS[i]!)
    const width = xOf(turns.timeS[i]! + turns.durationS[i]!) - left
    const size = Math.min(22, width * 0.9)
    const label = LABELS[turns.label[i]!]!
    const middle = left + width / 2
    drawn += stateMarkSvg(label, middle - size / 2, 30 - size, size)
    drawn += `<text class="word" transform="translate(${(middle + 3.5).toFixed(1)} 92) rotate(-90)">${label}</text>`
  }
  return drawn
}

/** `fired, skipped, 2 fired`. */
function runsOfWords(turns: ClipTurns, first: number, end: number): string {
  const runs: { word: string; count: number }[] = []
  for (let i = first; i < end; i++) {
    const word = LABELS[turns.label[i]!]!
    const last = runs.at(-1)
    if (last?.word === word) last.count++
    else runs.push({ word, count: 1 })
  }
  return runs.map(({ word, count }) => (count === 1 ? word : `${count} ${word}`)).join(', ')
}

/** Which part counts: by what is shown, or by numbers. */
function Trim(props: { shown: Span; wholeS: number; span: Span | null; onTrim(span: Span | null): void }) {
  const { shown, wholeS, span, onTrim } = props
  const [from, setFrom] = useState(numeral(shown.fromS, 2))
  const [to, setTo] = useState(numeral(shown.toS, 2))
  const [wrong, setWrong] = useState('')
  const trim = (event: Event) => {
    event.preventDefault()
    const part = { fromS: readNumber(from), toS: readNumber(to) }
    const fits = part.fromS >= 0 && part.fromS < part.toS && part.toS <= wholeS + 0.01
    setWrong(fits ? '' : `Give two times from 0 to ${numeral(wholeS, 2)} s, the earlier one first.`)
    if (fits) onTrim({ fromS: part.fromS, toS: Math.min(wholeS, part.toS) })
  }
  return (
    <form onSubmit={trim}>
      <div class="row">
        <TextField label="From, s" value={from} isNumber onInput={setFrom} />
        <TextField label="To, s" value={to} isNumber onInput={setTo} />
        <button type="submit">Hear only this part</button>
        {span && (
          <button type="button" onClick={() => onTrim(null)}>
            Hear all of it again
          </button>
        )}
      </div>
      {wrong && (
        <p class="caution" role="alert">
          {wrong}
        </p>
      )}
      {span && (
        <p class="quiet">
          {numeral(span.fromS, 1)} to {numeral(span.toS, 1)} s of {numeral(wholeS, 1)} s count; the sound
          itself stays whole.
        </p>
      )}
    </form>
  )
}

/** Pushing by finger or mouse. @param push takes the share of the width that was passed */
function useDrag(push: (share: number) => void) {
  const lastX = useRef<number | null>(null)
  return {
    onPointerDown: (event: PointerEvent) => {
      lastX.current = event.clientX
      ;(event.currentTarget as Element).setPointerCapture(event.pointerId)
    },
    onPointerMove: (event: PointerEvent) => {
      if (lastX.current === null) return
      push((event.clientX - lastX.current) / (event.currentTarget as Element).clientWidth)
      lastX.current = event.clientX
    },
    onPointerUp: () => {
      lastX.current = null
    },
    onPointerCancel: () => {
      lastX.current = null
    },
  }
}
