import { useObjectUrl } from './useObjectUrl.js'

/** The photo of a trial. */
export function Photo({ photo, trial }: { photo: Blob; trial: number }) {
  const url = useObjectUrl(photo)
  return url && <img class="photo" src={url} alt={`Trial ${trial}, as it was photographed`} />
}

/** Takes a photo or picks one. */
export function PhotoField(props: { readonly label: string; onPick(picture: File): void }) {
  return (
    <label class="button">
      {props.label}
      <input
        type="file"
        class="unseen"
        accept="image/*"
        onChange={({ currentTarget }) => {
          const picture = currentTarget.files?.[0]
          if (picture) props.onPick(picture)
          currentTarget.value = ''
        }}
      />
    </label>
  )
}
