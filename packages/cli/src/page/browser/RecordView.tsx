import { listText } from '@everyrev/core/tuning'
import { useEffect, useRef } from 'preact/hooks'
import { RIDING_CAUTION } from '../../render/cautions.js'
import { clipSpeedText } from '../../render/numbers.js'
import { MAX_RECORDING_S } from '../limits.js'
import { PROCESSING } from '../texts.js'
import { BigFigure } from './Answer.js'
import { useFocusedHeading } from './parts.js'
import { stripLabel, Trace } from './Strip.js'
import type { RecordingState } from './state.js'

/** Lowest level the meter shows, dB re full scale. */
const METER_FLOOR_DB = -60

/** The whole screen while recording: what is heard, what is wrong, how much more it takes, one button. */
export function RecordView(props: { recording: RecordingState; onStop(): void; onDiscard(): void }) {
  const { recording, onStop, onDiscard } = props
  const { phase, side, lengthS, live, soFar, isCut, isAwake, leftOn, notTold } = recording
  const heading = useFocusedHeading()
  return (
    <main class="recording">
      <h1 ref={heading} tabIndex={-1}>
        {phase === 'opening' ? 'Opening the microphone ...' : `Recording: ${side} the change`}
      </h1>
      <p class="clock">
        <span class="dot" aria-hidden="true" /> {clock(lengthS)}{' '}
        <span class="quiet">of {MAX_RECORDING_S / 60} min</span>
      </p>
      <Meter recording={recording} />
      {soFar?.figure && <BigFigure figure={soFar.figure} />}
      {soFar && soFar.strip.length > 0 && (
        <Trace columns={soFar.strip} label={stripLabel(soFar.strip, soFar.lengthS)} lengthS={soFar.lengthS} />
      )}
      <p class="needed" role="status">
        {soFar?.needed.text ?? 'In some ten seconds it can be said how much more is needed.'}
      </p>
      <ul class="facts">
        <Fact name="Engine" sign={live?.engine ? '✓' : live ? '!' : '…'} isGood={live?.engine ?? true}>
          {engineText(recording)}
        </Fact>
        <Fact name="Clipping" sign={isCut ? '!' : '✓'} isGood={!isCut}>
          {isCut ? 'too loud, the peaks are cut off: move the phone further away' : 'none'}
        </Fact>
        {(live?.hindrances ?? [])
          .filter(({ code }) => code !== 'clipping' || !isCut)
          .map(({ code, message, advice }) => (
            <Fact key={code} name={NAMES[code] ?? 'Sound'} sign="!" isGood={false}>
              {`${message} ${advice}`}
            </Fact>
          ))}
        {live && !live.hindrances.some(({ code }) => code === 'wind') && (
          <Fact name="Wind" sign="✓" isGood>
            none
          </Fact>
        )}
        {phase === 'running' && (
          <Fact name="Screen" sign={isAwake ? '✓' : '!'} isGood={isAwake}>
            {isAwake ? 'stays on' : 'may go dark and end the recording: set the phone to stay on'}
          </Fact>
        )}
        {leftOn.length > 0 && (
          <Fact name="Phone" sign="!" isGood={false}>
            {`this browser left ${names(leftOn)} on: levels say nothing, and skips may be smoothed over`}
          </Fact>
        )}
        {notTold.length > 0 && (
          <Fact name="Phone" sign="?" isGood={false}>
            {`this browser does not say whether it switched off ${names(notTold)}`}
          </Fact>
        )}
      </ul>
      <p class="caution">{RIDING_CAUTION}</p>
      <div class="bar">
        {phase === 'running' && (
          <button type="button" class="plain" onClick={onDiscard}>
            Discard
          </button>
        )}
        <button type="button" class="main stop" onClick={onStop} disabled={phase === 'ending'}>
          {STOP[phase]}
        </button>
      </div>
    </main>
  )
}

const STOP = { opening: 'Cancel', running: 'Stop and hear', ending: 'Ending ...' } as const

const NAMES: Readonly<Record<string, string>> = { wind: 'Wind', clipping: 'Clipping', 'too-quiet': 'Level' }

const names = (processing: RecordingState['leftOn']): string =>
  listText(processing.map((name) => PROCESSING[name]))

function engineText({ live, lengthS }: RecordingState): string {
  if (!live) return lengthS < 4 ? 'listening' : 'listening still'
  if (!live.engine) return 'not heard in the last ten seconds'
  return live.rpm === null ? 'heard' : `heard, about ${clipSpeedText(live.rpm)} rpm`
}

function Fact(props: { name: string; sign: string; isGood: boolean; children: string }) {
  return (
    <li class={props.isGood ? 'good' : 'bad'}>
      <span class="sign" aria-hidden="true">
        {props.sign}
      </span>
      <span>
        <b>{props.name}:</b> {props.children}
      </span>
    </li>
  )
}

function Meter({ recording: { rms, peak } }: { recording: RecordingState }) {
  const bar = useRef<HTMLDivElement>(null)
  const tick = useRef<HTMLDivElement>(null)
  const level = toDb(rms)
  const top = toDb(peak)
  useEffect(() => {
    if (bar.current) bar.current.style.transform = `scaleX(${toShare(level)})`
    if (tick.current) tick.current.style.left = `${100 * toShare(top)}%`
  }, [level, top])
  return (
    <>
      <div class="meter" aria-hidden="true">
        <div class="level" ref={bar} />
        <div class="peak" ref={tick} />
      </div>
      <p class="quiet">
        Level {Math.round(level)} dB, peaks {Math.round(top)} dB; full scale is 0 dB
      </p>
    </>
  )
}

const toDb = (amplitude: number): number =>
  Math.max(METER_FLOOR_DB, amplitude > 0 ? 20 * Math.log10(amplitude) : METER_FLOOR_DB)
const toShare = (db: number): number => Math.min(1, 1 - db / METER_FLOOR_DB)

/** 83.4 → `1:23`. */
function clock(lengthS: number): string {
  const seconds = Math.floor(lengthS)
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, '0')}`
}
