import { saveFile } from './files.js'
import type { Store } from './state.js'

/** Hands words and files to the phone's share sheet; where it takes no files, they are saved and the words copied. */
export async function share(store: Store, text: string, files: readonly File[]): Promise<void> {
  if (canShare(files)) {
    try {
      return await navigator.share({ text, files: [...files] })
    } catch (error) {
      // Closing the share sheet is no mistake.
      if (error instanceof DOMException && error.name === 'AbortError') return
    }
  }
  for (const file of files) saveFile(file, file.name)
  const names = files.map(({ name }) => name).join(', ')
  const isCopied = await navigator.clipboard?.writeText(text).then(
    () => true,
    () => false,
  )
  store.say(
    isCopied ? `Saved as ${names}; the words are copied: paste them where you like.` : `Saved as ${names}.`,
  )
}

/** Whether this browser's share sheet takes files. */
export const canShare = (files: readonly File[]): boolean =>
  navigator.canShare?.({ files: [...files] }) === true
