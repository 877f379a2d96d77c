import * as comlink from 'comlink'
import { unpackBytes } from '../../web/base85.js'
import type { Hearing } from './hearing.entry.js'

export type RemoteHearing = comlink.Remote<Hearing>

/** Starts the hearing thread from its script; `onTrouble` tells when it broke. */
export function startHearing(scriptUrl: string): {
  readonly remote: RemoteHearing
  onTrouble(tell: () => void): void
} {
  const worker = new Worker(scriptUrl)
  return {
    remote: comlink.wrap<Hearing>(worker),
    onTrouble: (tell) => worker.addEventListener('error', tell),
  }
}

/** A script that came with the page packed, gzip (RFC 1952) in letters, as an address a worker can be started from. */
export async function packedScriptUrl(id: string): Promise<string> {
  return URL.createObjectURL(await unpacked(id).blob())
}

/** Text that came with the page packed. */
export const packedText = (id: string): Promise<string> => unpacked(id).text()

function unpacked(id: string): Response {
  const bytes = unpackBytes(embeddedText(id))
  return new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream('gzip')))
}

/** Text that came with the page. */
export const embeddedText = (id: string): string => document.getElementById(id)!.textContent!
