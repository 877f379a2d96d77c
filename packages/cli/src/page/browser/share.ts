import type { Store } from './state.js'

/** Hands a text to the phone's share sheet; where there is none, to the clipboard. */
export async function shareText(store: Store, text: string): Promise<void> {
  try {
    if (navigator.share) return await navigator.share({ text })
    await navigator.clipboard.writeText(text)
    store.say('Copied: paste it where you like.')
  } catch (error) {
    // Closing the share sheet is no mistake.
    if (error instanceof DOMException && error.name === 'AbortError') return
    store.complain('This browser lets the page neither share nor copy.')
  }
}
