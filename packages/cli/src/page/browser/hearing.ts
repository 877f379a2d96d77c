import * as comlink from 'comlink'
import type { Hearing } from './hearing.entry.js'

export type RemoteHearing = comlink.Remote<Hearing>

/** Starts the hearing thread from its script. */
export function startHearing(scriptUrl: string): RemoteHearing {
  return comlink.wrap<Hearing>(new Worker(scriptUrl))
}

/** A script that came with the page, as an address a thread can be started from. */
export function scriptUrl(id: string): string {
  return urlOf(embeddedText(id))
}

/** The same for a script that came packed: gzip (RFC 1952) in base64. */
export async function packedScriptUrl(id: string): Promise<string> {
  const bytes = Uint8Array.from(atob(embeddedText(id)), (c) => c.charCodeAt(0))
  const unpacked = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('gzip'))
  return urlOf(await new Response(unpacked).text())
}

const embeddedText = (id: string): string => document.getElementById(id)!.textContent!

const urlOf = (script: string): string => URL.createObjectURL(new Blob([script], { type: 'text/javascript' }))
