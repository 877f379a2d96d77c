import { PROCESSING, type Processing } from '../texts.js'
import type { BlockLevel } from './capture.entry.js'

/** A microphone that is open. */
export interface Microphone {
  readonly rateHz: number
  /** What the browser left on, or does not tell, although it was asked to switch it off. */
  readonly leftOn: readonly Processing[]
  readonly notTold: readonly Processing[]
  /** Stops listening and lets the microphone go. */
  close(): Promise<void>
}

export interface MicrophoneEvents {
  level(level: BlockLevel): void
  /** The microphone was taken away, by a call for instance. */
  lost(): void
}

const NAMES = Object.keys(PROCESSING) as readonly Processing[]
/** `voiceIsolation` is new: a browser that does not tell of it has none. */
const ALWAYS_ASKED = NAMES.filter((name) => name !== 'voiceIsolation')

/**
 * Opens the microphone with everything that changes the sound switched off, as far as the browser allows.
 *
 * @param captureScript text of `capture.entry.ts`
 * @param to     where the samples go, see {@link Hearing.record}
 * @throws DOMException of `getUserMedia`; see {@link microphoneRefusal}
 */
export async function openMicrophone(
  captureScript: string,
  to: MessagePort,
  events: MicrophoneEvents,
): Promise<Microphone> {
  if (!navigator.mediaDevices?.getUserMedia || typeof AudioWorkletNode === 'undefined')
    throw new DOMException('', 'NotSupportedError')
  const off = Object.fromEntries(NAMES.map((name) => [name, false]))
  const stream = await navigator.mediaDevices.getUserMedia({ audio: { ...off, channelCount: { ideal: 1 } } })
  const context = new AudioContext()
  try {
    const [track] = stream.getAudioTracks()
    track!.addEventListener('ended', () => events.lost())
    await loadCapture(context, captureScript)
    const capture = new AudioWorkletNode(context, 'capture', { numberOfOutputs: 0 })
    capture.port.onmessage = ({ data }: MessageEvent<BlockLevel>) => events.level(data)
    capture.port.postMessage(to, [to])
    context.createMediaStreamSource(stream).connect(capture)
    await context.resume()
    return { rateHz: context.sampleRate, ...processingOf(track!), close: () => release(stream, context) }
  } catch (error) {
    await release(stream, context)
    throw error
  }
}

/** From disk Chromium takes the script only from a data address; others may take it only from a blob. */
async function loadCapture({ audioWorklet }: AudioContext, script: string): Promise<void> {
  const blob = () => URL.createObjectURL(new Blob([script], { type: 'text/javascript' }))
  await audioWorklet
    .addModule(`data:text/javascript,${encodeURIComponent(script)}`)
    .catch(() => audioWorklet.addModule(blob()))
}

/** What of the processing is still on by the track's own word. */
export function processingOf(track: MediaStreamTrack): Pick<Microphone, 'leftOn' | 'notTold'> {
  const settings: Readonly<Partial<Record<Processing, unknown>>> = track.getSettings()
  return {
    leftOn: NAMES.filter((name) => settings[name] !== undefined && settings[name] !== false),
    notTold: ALWAYS_ASKED.filter((name) => settings[name] === undefined),
  }
}

async function release(stream: MediaStream, context: AudioContext): Promise<void> {
  for (const track of stream.getTracks()) track.stop()
  await context.close()
}
