import type { ComponentChildren } from 'preact'
import { useState } from 'preact/hooks'
import type { TrialEdits, TrialView, Units } from '../types.js'
import { Photo, PhotoField } from './Photo.js'
import { EngineField } from './parts.js'
import type { DamagedLog, LogState } from './state.js'
import { TrialEdit } from './TrialEdit.js'

export interface LogCardProps {
  readonly logs: readonly LogState[]
  readonly damaged: readonly DamagedLog[]
  readonly shown: LogState | null
  readonly hasClips: boolean
  readonly units: Units
  onAdd(): void
  onEdit(number: number, edits: TrialEdits): Promise<string | null>
  onNext(): void
  onShow(engine: string): void
  photoOf(trial: TrialView): Blob | undefined
  onPhoto(trial: TrialView, picture: File | null): void
  onImport(files: readonly File[]): void
  onExport(): void
  onExportDamaged(log: DamagedLog): void
  onRemoveDamaged(log: DamagedLog): void
  /** Null where the browser's share sheet takes no files. */
  readonly onShare: (() => void) | null
  onUndo(): void
  onRemove(): void
}

/** The tuning log of one engine: trials, best setting, export and import. */
export function LogCard(props: LogCardProps) {
  const { logs, damaged, shown } = props
  return (
    <section class="card" aria-labelledby="log">
      <h2 id="log">Tuning log</h2>
      {logs.length > 1 && (
        <EngineField
          engines={logs.map(({ engine }) => engine)}
          value={shown?.engine ?? ''}
          onPick={props.onShow}
        />
      )}
      {shown ? (
        <Trials {...props} view={shown.view} />
      ) : (
        damaged.length === 0 && (
          <p>
            No trial is kept yet. One change at a time, the engine warm, the same stretch, the same speed.
          </p>
        )
      )}
      {damaged.map((log) => (
        <Damaged
          key={log.engine}
          log={log}
          onExport={() => props.onExportDamaged(log)}
          onRemove={() => props.onRemoveDamaged(log)}
        />
      ))}
      <LogButtons {...props} />
    </section>
  )
}

function Trials({ view, units, photoOf, onEdit, onPhoto }: LogCardProps & { view: LogState['view'] }) {
  return (
    <>
      <p>{view.sentences.join(' ')}</p>
      {view.warnings.map((warning) => (
        <p key={warning} class="caution">
          {warning}
        </p>
      ))}
      {view.chart && <Chart svg={view.chart} />}
      <ol class="trials">
        {[...view.trials].reverse().map((trial) => (
          <Trial key={trial.number} trial={trial} photo={photoOf(trial)}>
            <TrialEdit
              key={JSON.stringify(trial)}
              trial={trial}
              units={units}
              onSave={(edits) => onEdit(trial.number, edits)}
            />
            <div class="row">
              <PhotoField
                label={photoOf(trial) ? 'Another photo' : 'Add a photo'}
                onPick={(picture) => onPhoto(trial, picture)}
              />
              {photoOf(trial) && (
                <button type="button" class="plain" onClick={() => onPhoto(trial, null)}>
                  Remove the photo
                </button>
              )}
            </div>
          </Trial>
        ))}
      </ol>
      <p class="caution">{view.caution}</p>
    </>
  )
}

/** A log that cannot be read: what is wrong, and the way to its text. */
function Damaged({
  log: { engine, why },
  onExport,
  onRemove,
}: {
  log: DamagedLog
  onExport(): void
  onRemove(): void
}) {
  return (
    <div>
      <p class="caution">
        The log of {engine} cannot be read: {why}. It is kept as it is. Export it, mend it in a text editor
        and import it.
      </p>
      <div class="row">
        <button type="button" onClick={onExport}>
          Export the damaged log of {engine}
        </button>
        <Remove name="the damaged log" onRemove={onRemove} />
      </div>
    </div>
  )
}

/** What can be done with the log, as far as there is one. */
function LogButtons(props: LogCardProps) {
  const { shown, onShare } = props
  const hasTrials = shown !== null && shown.view.trials.length > 0
  return (
    <div class="row">
      {hasTrials && (
        <button type="button" onClick={props.onNext}>
          What next?
        </button>
      )}
      <button type="button" onClick={props.onAdd} disabled={!props.hasClips}>
        Keep a trial
      </button>
      {shown && (
        <button type="button" onClick={props.onExport}>
          Export the log
        </button>
      )}
      {shown && onShare && (
        <button type="button" onClick={onShare}>
          Share the log
        </button>
      )}
      <label class="button">
        Import a log
        <input
          type="file"
          class="unseen"
          multiple
          accept=".yaml,.yml,.txt,application/yaml,text/yaml,.jpg,image/jpeg"
          onChange={({ currentTarget }) => {
            props.onImport([...(currentTarget.files ?? [])])
            currentTarget.value = ''
          }}
        />
      </label>
      {hasTrials && (
        <button type="button" class="plain" onClick={props.onUndo}>
          Take the last trial back
        </button>
      )}
      {shown && <Remove key={shown.engine} name="the log" onRemove={props.onRemove} />}
    </div>
  )
}

/** Drawn by the library's pages too; all text in it is escaped there. */
function Chart({ svg }: { svg: string }) {
  return (
    <figure class="trials-chart">
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls has to be reached by key (WCAG 2.1.1) */}
      <section tabIndex={0} aria-label="Plot of the trials" dangerouslySetInnerHTML={{ __html: svg }} />
      <figcaption class="quiet">
        A ring is the share of skipped turns in a trial, the bar what fits as well (95 %); a diamond is the
        best setting.
      </figcaption>
    </figure>
  )
}

/** Asks once more: an exported file may be the only other copy. */
function Remove({ name, onRemove }: { name: string; onRemove(): void }) {
  const [isSure, setSure] = useState(false)
  if (!isSure)
    return (
      <button type="button" class="plain" onClick={() => setSure(true)}>
        Remove {name}
      </button>
    )
  return (
    <button type="button" class="danger" onClick={onRemove} onBlur={() => setSure(false)}>
      Really remove it from this device
    </button>
  )
}

function Trial(props: { trial: TrialView; photo: Blob | undefined; children: ComponentChildren }) {
  const { trial, photo, children } = props
  return (
    <li value={trial.number}>
      <b>
        {trial.number}. {trial.changed}
      </b>
      <dl>
        <Item name="Skipped (95 %)" text={trial.skipped} />
        <Item name="Change" text={trial.verdict} />
        <Item name="Head" text={trial.head} />
        <Item name="Air" text={trial.air} />
        <Item name="Pull" text={trial.pull} />
        <Item name="Ridden" text={dateText(trial.date)} />
        <Item name="Clips" text={trial.clips.join(', ') || '-'} />
        {trial.note && <Item name="Note" text={trial.note} />}
      </dl>
      {photo && <Photo photo={photo} trial={trial.number} />}
      {trial.warnings.map((warning) => (
        <p key={warning} class="quiet">
          ! {warning}
        </p>
      ))}
      {children}
    </li>
  )
}

/** `2026-04-03` in the language of the browser. */
function dateText(date: string): string {
  return new Intl.DateTimeFormat(navigator.language, { dateStyle: 'medium', timeZone: 'UTC' }).format(
    new Date(date),
  )
}

function Item({ name, text }: { name: string; text: string }) {
  return text === '-' ? null : (
    <div>
      <dt>{name}</dt>
      <dd>{text}</dd>
    </div>
  )
}
