import { useEffect, useState } from 'preact/hooks'
import { RIDING_CAUTION } from '../../render/cautions.js'
import { KEPT, KEPT_WHILE_ROOM, PRIVACY, PRIVACY_INSTALLED } from '../texts.js'
import type { PlannedChange, Side } from '../types.js'
import { AddBar } from './AddBar.js'
import { Answer } from './Answer.js'
import { ClipCard } from './ClipCard.js'
import type { Desk } from './desk.js'
import { packedText } from './hearing.js'
import { isInstallable } from './install.js'
import { Known } from './Known.js'
import { LogCard } from './LogCard.js'
import { NextView } from './NextView.js'
import { photoKey } from './photos.js'
import { RecordView } from './RecordView.js'
import { SumsView } from './SumsView.js'
import { canShare } from './share.js'
import type { Clip, State } from './state.js'
import { TrialForm } from './TrialForm.js'

export function App({ state, desk }: { state: State; desk: Desk }) {
  const newest = newestOf(state.clips)
  // What is new stands at the top.
  const isRecording = state.recording !== null
  useEffect(() => scrollTo(0, 0), [state.view, isRecording, newest?.id])
  return (
    <>
      <Said state={state} desk={desk} />
      {state.recording ? (
        <RecordView
          recording={state.recording}
          onStop={() => void desk.recorder.stop()}
          onDiscard={() => void desk.recorder.discard()}
        />
      ) : (
        <Workplace state={state} desk={desk} />
      )}
    </>
  )
}

function Workplace({ state, desk }: { state: State; desk: Desk }) {
  const { clips, view } = state
  const heard = (side: Side) => clips.filter((c) => c.side === side && c.status.kind === 'heard').length
  const counts = { before: heard('before'), after: heard('after') }
  const { shown } = desk.logs
  const newest = newestOf(clips)
  return (
    <>
      <header class="head">
        <h1>everyrev</h1>
        <nav aria-label="Pages">
          <NavButton name="Ride" isHere={view !== 'sums'} onGo={desk.closeView} />
          <NavButton name="Bench sums" isHere={view === 'sums'} onGo={desk.openSums} />
        </nav>
      </header>
      <main>
        {!state.keeps && (
          <p class="caution">
            This browser keeps nothing for a page opened this way: save recordings and export the log before
            you close it.
          </p>
        )}
        {view === 'sums' ? (
          <SumsView
            sums={state.sums}
            known={shown?.view.sums ?? {}}
            units={state.units}
            onType={desk.typeSum}
          />
        ) : view === 'next' ? (
          <NextView next={state.next} onPlan={desk.plan} onClose={desk.closeView} />
        ) : view === 'trial' ? (
          <TrialForm
            counts={counts}
            logs={state.logs}
            shown={shown}
            units={state.units}
            onUnits={desk.setUnits}
            onKeep={desk.keepTrial}
            planned={state.planned}
            onCancel={desk.closeView}
          />
        ) : (
          <>
            {state.planned && <Planned planned={state.planned} onForget={desk.forgetPlan} />}
            {newest ? (
              <Answer
                clip={newest}
                comparison={state.comparison}
                trial={desk.logs.trialOf(newest)}
                engine={shown?.engine ?? null}
                onKeep={desk.openForm}
                onNext={() => void desk.openNext()}
                others={clips}
                onShare={(text, pictured) => void desk.share(text, pictured)}
                onNextChange={() => desk.clips.nextChange()}
              />
            ) : (
              <Welcome />
            )}
            {clips.length > 0 && <ClipList clips={clips} desk={desk} />}
            <LogCard
              logs={state.logs}
              shown={shown}
              hasClips={counts.before + counts.after > 0}
              units={state.units}
              onAdd={desk.openForm}
              onEdit={(number, edits) => desk.logs.edit(number, edits)}
              onNext={() => void desk.openNext()}
              onShow={(engine) => desk.logs.show(engine)}
              photoOf={(trial) => state.photos.get(photoKey(shown?.engine ?? '', trial))}
              onPhoto={(trial, picture) => void desk.photos.put(shown!.engine, trial, picture)}
              onImport={(files) => void desk.import(files)}
              onShare={canShare([SAMPLE]) ? () => void desk.shareLog() : null}
              onExport={() => desk.logs.export()}
              onUndo={() => void desk.logs.undo()}
              onRemove={() => void desk.logs.remove()}
            />
            {state.keeps && state.isPromised !== null && clips.length + state.logs.length > 0 && (
              <p class="quiet">{state.isPromised ? KEPT : KEPT_WHILE_ROOM}</p>
            )}
            {state.ready && (
              <Known
                expected={state.expected}
                worth={state.worth}
                onExpect={desk.expect}
                onWorth={desk.setWorth}
              />
            )}
            <p class="caution">{RIDING_CAUTION}</p>
            <p class="quiet">{isInstallable() ? PRIVACY_INSTALLED : PRIVACY}</p>
            <About />
          </>
        )}
      </main>
      {view === null && (
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

function NavButton(props: { name: string; isHere: boolean; onGo(): void }) {
  const { name, isHere, onGo } = props
  return (
    <button type="button" class="plain" aria-current={isHere ? 'page' : undefined} onClick={onGo}>
      {name}
    </button>
  )
}

/** The one that stands on a side, or else whatever there is. */
function newestOf(clips: State['clips']): Clip | undefined {
  return clips.findLast(({ side }) => side !== 'aside') ?? clips.at(-1)
}

function ClipList({ clips, desk }: { clips: State['clips']; desk: Desk }) {
  return (
    <section aria-labelledby="clips">
      <h2 id="clips">
        Clips <span class="quiet">({clips.length})</span>
      </h2>
      <ul class="clips">
        {clips.map((clip) => (
          <ClipCard
            key={clip.id}
            clip={clip}
            trial={desk.logs.trialOf(clip)}
            turnsOf={(shown) => desk.clips.turnsOf(shown)}
            onTrim={(span) => desk.clips.trim(clip.id, span)}
            onMark={(to) => desk.clips.mark(clip.id, to)}
            onRemove={() => desk.clips.remove(clip.id)}
          />
        ))}
      </ul>
    </section>
  )
}

/** The change that was chosen, until it is kept. */
function Planned({ planned, onForget }: { planned: PlannedChange; onForget(): void }) {
  return (
    <section class="card planned" aria-label="The change to try">
      <p>
        <b>To try:</b> {changeText(planned)}. Then record it, warm, on the same stretch.
      </p>
      <button type="button" class="plain" onClick={onForget}>
        Not this one
      </button>
    </section>
  )
}

function changeText({ knob, from, to }: PlannedChange): string {
  return from === '' ? `${knob} to ${to}` : `${knob} ${from} -> ${to}`
}

function Welcome() {
  return (
    <section class="card">
      <h2>Does your two‑stroke skip turns?</h2>
      <p class="quiet">{isInstallable() ? PRIVACY_INSTALLED : PRIVACY}</p>
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
  const [licences, setLicences] = useState('')
  return (
    <details class="about" onToggle={() => void packedText('licences').then(setLicences)}>
      <summary>About this page</summary>
      <p>
        everyrev is free software under the GNU General Public License, version 3 or later, without any
        warranty. What it says of an engine is heard, not measured at the engine: where you are not sure, ask
        a qualified mechanic. To have the page at hand without a network, save it on the phone.
      </p>
      <p>Libraries in the pages everyrev makes:</p>
      <pre>{licences}</pre>
    </details>
  )
}

/** A file of the kind that logs are shared as. */
const SAMPLE = new File([], 'log.yaml.txt', { type: 'text/plain' })

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
