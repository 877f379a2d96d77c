import { Choice } from './parts.js'

export interface AddBarProps {
  readonly addAs: 'before' | 'after'
  onSide(side: 'before' | 'after'): void
  onFiles(files: readonly File[]): void
  onRecord(): void
}

/** At the bottom, where a thumb reaches: where new clips go, and the two ways to get one. */
export function AddBar({ addAs, onSide, onFiles, onRecord }: AddBarProps) {
  return (
    <section class="bar" aria-label="Add clips">
      <Choice
        name="add-as"
        legend="New clips are from"
        isLegendShown
        options={[
          ['before', 'before the change'],
          ['after', 'after it'],
        ]}
        value={addAs}
        onPick={onSide}
      />
      <div class="row">
        <label class="button">
          Pick clips
          <input
            type="file"
            class="unseen"
            multiple
            accept="audio/*,video/*,.wav,.m4a,.mp3,.ogg,.opus,.flac,.webm,.aac"
            onChange={({ currentTarget }) => {
              onFiles([...(currentTarget.files ?? [])])
              currentTarget.value = ''
            }}
          />
        </label>
        <button type="button" class="main" onClick={onRecord}>
          <span class="dot" aria-hidden="true" /> Record
        </button>
      </div>
    </section>
  )
}
