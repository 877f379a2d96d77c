import { listText } from '@everyrev/core/tuning'
import { useEffect, useState } from 'preact/hooks'
import { RIDING_CAUTION } from '../../render/cautions.js'
import { KEPT, KEPT_WHILE_ROOM, PRIVACY, PRIVACY_INSTALLED } from '../texts.js'
import { changeText } from '../trial/changeFields.js'
import type { Plan, Side } from '../types.js'
import { AddBar } from './AddBar.js'
import { Answer } from './Answer.js'
import type { Actions } from './actions.js'
import { ClipCard } from './ClipCard.js'
import { packedText } from './hearing.js'
import { isInstallable } from './install.js'
import { LogCard } from './LogCard.js'
import { NextView } from './NextView.js'
import { photoKey } from './photos.js'
import { RecordView } from './RecordView.js'
import { SumsView } from './SumsView.js'
import { canShare } from './share.js'
import type { Clip, State } from './state.js'
import { TrialForm } from './TrialForm.js'
import { WhatYouKnow } from './WhatYouKnow.js'

export function App({ state, actions }: { state: State; actions: Actions }) {
  const newest = newestOf(state.clips)
  // What is new stands at the top.
  const isRecording = state.recording !== null
  useEffect(() => scrollTo(0, 0), [state.view, state.isAtBench, isRecording, newest?.id])
  return (
    <>
      <Said state={state} actions={actions} />
      {state.recording ? (
        <RecordView
          recording={state.recording}
          onStop={() => void actions.recorder.stop()}
          onDiscard={() => void actions.recorder.discard()}
        />
      ) : (
        <Workplace state={state} actions={actions} />
      )}
    </>
  )
}

function Workplace({ state, actions }: { state: State; actions: Actions }) {
  const { clips, view, isAtBench } = state
  const { shown } = actions.logs
  const heard = (side: Side) => clips.filter((c) => c.side === side && c.status.kind === 'heard').length
  const counts = { before: heard('before'), after: heard('after') }
  return (
    <>
      <header class="head">
        <h1>everyrev</h1>
        <nav aria-label="Pages">
          <NavButton name="Ride" isHere={!isAtBench} onGo={actions.goToRide} />
          <NavButton name="Bench sums" isHere={isAtBench} onGo={actions.goToBench} />
        </nav>
      </header>
      <main>
        {!state.keeps && (
          <p class="caution">
            This browser keeps nothing for a page opened this way: save recordings and export the log before
            you close it.
          </p>
        )}
        {isAtBench && (
          <SumsView
            sums={state.sums}
            known={shown?.view.sums ?? {}}
            units={state.units}
            onType={actions.typeSum}
          />
        )}
        <div hidden={isAtBench}>
          {view === 'next' ? (
            <NextView next={state.next} onPlan={actions.plan} onClose={actions.closeView} />
          ) : view === 'trial' && state.draft ? (
            <TrialForm
              draft={state.draft}
              onFill={actions.fillIn}
              countOf={actions.countOf}
              logs={state.logs}
              units={state.units}
              onUnits={actions.setUnits}
              onKeep={actions.keepTrial}
              planned={state.planned}
              onCancel={actions.closeView}
            />
          ) : (
            <Ride state={state} actions={actions} counts={counts} />
          )}
        </div>
      </main>
      {view === null && !isAtBench && (
        <AddBar
          addAs={state.addAs}
          onSide={actions.addAs}
          onFiles={actions.pick}
          onRecord={() => void actions.recorder.start()}
        />
      )}
    </>
  )
}

/** The answer for the newest clip, the clips, the log. */
function Ride({
  state,
  actions,
  counts,
}: {
  state: State
  actions: Actions
  /** Heard clips on each side. */
  counts: { readonly before: number; readonly after: number }
}) {
  const { clips } = state
  const { shown } = actions.logs
  const newest = newestOf(clips)
  return (
    <>
      {state.planned && state.planned.engine === shown?.engine && (
        <Planned planned={state.planned} onForget={actions.forgetPlan} />
      )}
      {newest ? (
        <Answer
          clip={newest}
          comparison={state.comparison}
          trial={actions.logs.trialOf(newest)}
          engine={shown?.engine ?? null}
          onKeep={actions.openForm}
          onNext={() => void actions.openNext()}
          others={clips}
          onShare={(text, pictured) => void actions.share(text, pictured)}
          onNextChange={() => actions.clips.nextChange()}
        />
      ) : (
        <Welcome />
      )}
      {clips.length > 0 && <ClipList clips={clips} actions={actions} />}
      <LogCard
        logs={state.logs}
        damaged={state.damagedLogs}
        shown={shown}
        hasClips={counts.before + counts.after > 0}
        units={state.units}
        onAdd={actions.openForm}
        onEdit={(number, edits) => actions.logs.edit(number, edits)}
        onNext={() => void actions.openNext()}
        onShow={(engine) => actions.logs.show(engine)}
        photoOf={(trial) => state.photos.get(photoKey(shown?.engine ?? '', trial))}
        onPhoto={(trial, picture) => void actions.photos.put(shown!.engine, trial, picture)}
        onImport={(files) => void actions.import(files)}
        onShare={canShare([SAMPLE]) ? () => void actions.shareLog() : null}
        onExport={() => actions.logs.export()}
        onExportDamaged={(log) => actions.logs.exportDamaged(log)}
        onRemoveDamaged={(log) => void actions.logs.remove(log)}
        onUndo={() => void actions.logs.undo()}
        onRemove={() => void actions.logs.remove(shown!)}
      />
      {state.keeps && state.isPromised !== null && clips.length + state.logs.length > 0 && (
        <p class="quiet">{state.isPromised ? KEPT : KEPT_WHILE_ROOM}</p>
      )}
      {state.ready && (
        <WhatYouKnow
          expected={state.expected}
          worth={state.worth}
          onExpect={actions.expect}
          onWorth={actions.setWorth}
        />
      )}
      <p class="caution">{RIDING_CAUTION}</p>
      <p class="quiet">{isInstallable() ? PRIVACY_INSTALLED : PRIVACY}</p>
      <About />
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

function ClipList({ clips, actions }: { clips: State['clips']; actions: Actions }) {
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
            trial={actions.logs.trialOf(clip)}
            turnsOf={(shown) => actions.clips.turnsOf(shown)}
            onTrim={(span) => actions.clips.trim(clip.id, span)}
            onMark={(to) => actions.clips.mark(clip.id, to)}
            onRemove={() => actions.clips.remove(clip.id)}
          />
        ))}
      </ul>
    </section>
  )
}

/** The step that was chosen, until it is kept. */
function Planned({ planned, onForget }: { planned: Plan; onForget(): void }) {
  return (
    <section class="card planned" aria-label="The change to try">
      <p>
        <b>To try:</b> {planText(planned)} Then record it, warm, on the same stretch.
      </p>
      <button type="button" class="plain" onClick={onForget}>
        Not this one
      </button>
    </section>
  )
}

function planText({ say, changes }: Plan): string {
  return changes.length === 0 ? say : `${listText(changes.map(changeText))}.`
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
function Said({ state, actions }: { state: State; actions: Actions }) {
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
              actions.closeMessage()
              undo()
            }}
          >
            Undo
          </button>
        )}
        {said && (
          <button type="button" class="plain" aria-label="Close this message" onClick={actions.closeMessage}>
            ×
          </button>
        )}
      </div>
    </>
  )
}
