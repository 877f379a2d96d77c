/** Why the microphone cannot be used, and what to do, in one line. @param protocol of the page's address */
export function microphoneRefusal(error: unknown, protocol: string): string {
  const name = error instanceof Error ? error.name : ''
  const way = 'record with the phone’s own recorder and pick that clip here'
  const fromDisk =
    protocol === 'https:' ? '' : ' (many browsers allow it only to pages from a web address with https)'
  if (name === 'NotAllowedError' || name === 'SecurityError')
    return `The microphone was not allowed${fromDisk}: allow it in the browser’s settings for this page, or ${way}.`
  if (name === 'NotFoundError') return `This device has no microphone the browser can use: ${way}.`
  if (name === 'NotReadableError') return `Another program holds the microphone: close it, or ${way}.`
  if (name === 'NotSupportedError' || name === 'TypeError')
    return `This browser gives the page no microphone${fromDisk}: ${way}.`
  return `The microphone could not be opened (${name || String(error)}): ${way}.`
}
