import { useState } from 'preact/hooks'
import { RIDING_CAUTION } from '../../render/cautions.js'
import { PRIVACY } from '../texts.js'
import type { Side } from '../types.js'
import { AddBar } from './AddBar.js'
import { ClipCard } from './ClipCard.js'
import type { Desk } from './desk.js'
import { embeddedText } from './hearing.js'
import { Known } from './Known.js'
import { LogCard } from './LogCard.js'
import { RecordView } from './RecordView.js'
import type { State } from './state.js'
import { TrialForm } from './TrialForm.js'
import { Verdict } from './Verdict.js'

const GROUPS: readonly (readonly [Side, string])[] = [
  ['before', 'Before the change'],
  ['after', 'After the change'],
  ['aside', 'Left out'],
]

export function App({ state, desk }: { state: State; desk: Desk }) {
  return (
    <>
      {state.recording ? (
        <RecordView recording={state.recording} onStop={() => void desk.recorder.stop()} />
      ) : (
        <Workplace state={state} desk={desk} />
      )}
      <Said state={state} desk={desk} />
    </>
  )
}

function Workplace({ state, desk }: { state: State; desk: Desk }) {
  const { clips, form } = state
  const heard = (side: Side) => clips.filter((c) => c.side === side && c.status.kind === 'heard').length
  const counts = { before: heard('before'), after: heard('after') }
  const { shown } = desk.logs
  return (
    <>
      <header>
        <h1>everyrev</h1>
        <p class="quiet">{PRIVACY}</p>
      </header>
      <main>
        {!state.keeps && (
          <p class="caution">
            This browser keeps nothing for a page opened this way: save recordings and export the log before
            you close it.
          </p>
        )}
        {form === 'trial' ? (
          <TrialForm
            counts={counts}
            log={shown}
            units={state.units}
            onUnits={desk.setUnits}
            onKeep={desk.keepTrial}
            onCancel={desk.closeForm}
          />
        ) : (
          <>
            {clips.length === 0 && <Welcome />}
            <Verdict comparison={state.comparison} onNext={() => desk.clips.nextChange()} />
            {GROUPS.map(([side, title]) => (
              <Group key={side} side={side} title={title} state={state} desk={desk} />
            ))}
            <LogCard
              logs={state.logs}
              shown={shown}
              hasClips={counts.before + counts.after > 0}
              onAdd={desk.openForm}
              onShow={(engine) => desk.logs.show(engine)}
              onImport={(file) => void desk.logs.import(file)}
              onExport={() => desk.logs.export()}
              onUndo={() => void desk.logs.undo()}
              onRemove={() => void desk.logs.remove()}
            />
            {state.ready && (
              <Known
                expected={state.expected}
                worth={state.worth}
                onExpect={desk.expect}
                onWorth={desk.setWorth}
              />
            )}
            <p class="caution">{RIDING_CAUTION}</p>
            <About />
          </>
        )}
      </main>
      {form === null && (
        <AddBar
          addAs={state.addAs}
          onSide={desk.addAs}
          onFiles={desk.pick}
          onRecord={() => void desk.recorder.start()}
        />
      )}
    </>
  )
}

function Group({ side, title, state, desk }: { side: Side; title: string; state: State; desk: Desk }) {
  const clips = state.clips.filter((clip) => clip.side === side)
  if (clips.length === 0) return null
  return (
    <section aria-labelledby={`group-${side}`}>
      <h2 id={`group-${side}`}>
        {title} <span class="quiet">({clips.length})</span>
      </h2>
      <ul class="clips">
        {clips.map((clip) => (
          <ClipCard
            key={clip.id}
            clip={clip}
            onMark={(to) => desk.clips.mark(clip.id, to)}
            onRemove={() => desk.clips.remove(clip.id)}
          />
        ))}
      </ul>
    </section>
  )
}

function Welcome() {
  return (
    <section class="card">
      <h2>Does your two-stroke skip turns?</h2>
      <p>Record it, or pick a clip, and see how often it skips. To find out whether a change helped:</p>
      <ol>
        <li>Engine warm, one throttle on the flat, 20 seconds: that clip is from before the change.</li>
        <li>Change one thing.</li>
        <li>Same stretch, same speed: that clip is from after it. Two or three on each side are surer.</li>
      </ol>
    </section>
  )
}

function About() {
  const [isOpen, setOpen] = useState(false)
  return (
    <details class="about" onToggle={({ currentTarget }) => setOpen(currentTarget.open)}>
      <summary>About this page</summary>
      <p>
        everyrev is free software under the GNU General Public License, version 3 or later, without any
        warranty. What it says of an engine is heard, not measured at the engine: where you are not sure, ask
        a qualified mechanic. To have the page at hand without a network, save it on the phone.
      </p>
      <p>Libraries in the pages everyrev makes:</p>
      {isOpen && <pre>{embeddedText('licences')}</pre>}
    </details>
  )
}

/** What was done last, where the eye is and for screen readers. */
function Said({ state, desk }: { state: State; desk: Desk }) {
  const { said, spoken, isWrong, undo } = state
  return (
    <>
      <p role="status" class="unseen">
        {spoken}
      </p>
      <div class={`said${isWrong ? ' wrong' : ''}${said ? '' : ' unseen'}`}>
        <p role="status">{said}</p>
        {said && undo && (
          <button
            type="button"
            onClick={() => {
              desk.closeMessage()
              undo()
            }}
          >
            Undo
          </button>
        )}
        {said && (
          <button type="button" class="plain" aria-label="Close this message" onClick={desk.closeMessage}>
            ×
          </button>
        )}
      </div>
    </>
  )
}
