import {
  type Analysis,
  analyze,
  checkDecoded,
  type DecodedAudio,
  type Recording,
  toRecording,
} from '@everyrev/core'
import * as comlink from 'comlink'
import { cutAfter } from '../../clip/limitLength.js'
import { refusedAnalysis } from '../../clip/refusedAnalysis.js'
import { writeNumbersAs } from '../../render/numeral.js'
import { wavOf } from '../../web/wav.js'
import { clipAnswer, withoutSamples } from '../hearing/answer.js'
import { compareClips } from '../hearing/compareClips.js'
import {
  addTrials,
  editInLog,
  importLog,
  type NamedAnalysis,
  startLog,
  undoInLog,
  viewLog,
} from '../hearing/logBook.js'
import { nextSteps } from '../hearing/nextSteps.js'
import { readFile } from '../hearing/readFile.js'
import { attempt, refusalOf } from '../hearing/refusal.js'
import { hearSoFar } from '../hearing/soFar.js'
import { MAX_CLIP_S, MAX_RECORDING_S } from '../limits.js'
import { Take } from '../record/take.js'
import type {
  ClipTurns,
  Expected,
  HeardClip,
  KeptAnalysis,
  LiveAnswer,
  Outcome,
  ReadOutcome,
  Span,
  TrialEdits,
  TrialForm,
} from '../types.js'

/** Everything that takes time, off the page's own thread. Ids are the page's. */
const analyses = new Map<string, Analysis>()
/** What was decoded and not yet heard. */
const decoded = new Map<string, DecodedAudio>()
const parts = new Map<string, Float32Array[][]>()
let take: Take | null = null

const hearing = {
  /** Reads a file; its sound then waits for {@link listen}. */
  async read(id: string, file: Blob): Promise<ReadOutcome> {
    try {
      const found = await readFile(file)
      if (!('channels' in found)) return { kind: 'undecoded', ...found }
      return { kind: 'sound', lengthS: hold(id, found) }
    } catch (error) {
      return { kind: 'refused', refusal: refusalOf(error) }
    }
  },

  /** Takes a piece of one channel that the browser decoded. */
  takePart(id: string, channel: number, samples: Float32Array): void {
    const channels = parts.get(id) ?? []
    parts.set(id, channels)
    channels[channel] ??= []
    channels[channel].push(samples)
  },

  /** Puts the pieces together; the sound then waits for {@link listen}. @returns its length, seconds */
  joinParts(id: string, rateHz: number): number {
    const channels = (parts.get(id) ?? []).map(joined)
    parts.delete(id)
    return hold(id, { channels, rateHz, notes: [] })
  },

  /** Listens to what {@link read} or {@link joinParts} left waiting, or to a part of it. */
  listen(id: string, expectRpm: Expected, span: Span | null): Outcome<HeardClip> {
    return attempt(() => {
      const started = performance.now()
      const kept = withoutSamples(heard(id, expectRpm, span))
      analyses.set(id, kept)
      return { answer: clipAnswer(kept), kept, tookS: (performance.now() - started) / 1000 }
    })
  },

  /** Takes in what was heard before the page was loaded anew. */
  restore(id: string, kept: KeptAnalysis) {
    analyses.set(id, kept)
    return clipAnswer(kept)
  },

  /** Turns of a clip that was heard, as columns. */
  turnsOf(id: string): ClipTurns {
    const { timeS, durationS, label } = analyses.get(id)!.revolutions
    return { timeS, durationS, label }
  },

  compare(before: readonly string[], after: readonly string[], worth: number) {
    return attempt(() => compareClips(known(before), known(after), worth))
  },

  /** Begins a recording that arrives at `port` as blocks of floats. */
  record(port: MessagePort, rateHz: number): void {
    const growing = new Take(rateHz, MAX_RECORDING_S)
    take = growing
    port.onmessage = ({ data }: MessageEvent<Float32Array>) => growing.add(data)
  },

  /** Listens to the recording so far; with clips to hold it against, also for what it would settle. */
  hearSoFar(
    expectRpm: Expected,
    against: {
      before: readonly string[]
      after: readonly string[]
      side: 'before' | 'after'
      worth: number
    } | null,
  ): LiveAnswer | null {
    if (!take) return null
    const sides = against && { ...against, before: known(against.before), after: known(against.after) }
    return hearSoFar(take, expectRpm, sides)
  },

  /** Ends the recording. @returns it as a WAV file; null when nothing was recorded */
  endRecording(): Uint8Array<ArrayBuffer> | null {
    const ended = take
    take = null
    if (!ended || ended.pieces.length === 0) return null
    const wav = wavOf(ended.pieces, ended.rateHz)
    return comlink.transfer(wav, [wav.buffer])
  },

  viewLog: (text: string, rules: string) => attempt(() => viewLog(text, rules)),
  startLog: (engine: string) => attempt(() => startLog(engine)),
  importLog: (bytes: Uint8Array, rules: string) => attempt(() => importLog(bytes, rules)),
  next: (text: string, rules: string) => attempt(() => nextSteps(text, rules)),
  editInLog: (text: string, number: number, edits: TrialEdits, rules: string) =>
    attempt(() => editInLog(text, number, edits, rules)),
  undoInLog: (text: string, rules: string) => attempt(() => undoInLog(text, rules)),
  addTrials: (
    text: string,
    form: TrialForm,
    clips: readonly NamedClip[],
    before: readonly NamedClip[],
    date: string,
    rules: string,
  ) => attempt(() => addTrials(text, form, analysesOf(clips), analysesOf(before), date, rules)),
}

interface NamedClip {
  readonly id: string
  readonly name: string
}

function analysesOf(clips: readonly NamedClip[]): NamedAnalysis[] {
  return clips.flatMap(({ id, name }) => {
    const analysis = analyses.get(id)
    return analysis ? [{ id, name, analysis }] : []
  })
}

export type Hearing = typeof hearing

function hold(id: string, audio: DecodedAudio): number {
  decoded.set(id, audio)
  return (audio.channels[0]?.length ?? 0) / audio.rateHz
}

/** The way of `check`: sound that is silent or too short is an answer. */
function heard(id: string, expectRpm: Expected, span: Span | null): Analysis {
  const audio = decoded.get(id)
  decoded.delete(id)
  if (!audio) throw new Error(`nothing was read for ${id}`)
  try {
    const recording: Recording = toRecording(
      cutAfter(MAX_CLIP_S, checkDecoded(span ? partOf(audio, span) : audio)),
    )
    return analyze(recording, expectRpm ? { expectRpm } : {})
  } catch (error) {
    return refusedAnalysis(error)
  }
}

function partOf(audio: DecodedAudio, { fromS, toS }: Span): DecodedAudio {
  const [from, to] = [fromS, toS].map((timeS) => Math.round(timeS * audio.rateHz))
  return { ...audio, channels: audio.channels.map((channel) => channel.slice(from, to)) }
}

function joined(pieces: readonly Float32Array[]): Float32Array {
  const out = new Float32Array(pieces.reduce((sum, { length }) => sum + length, 0))
  let at = 0
  for (const piece of pieces) {
    out.set(piece, at)
    at += piece.length
  }
  return out
}

function known(ids: readonly string[]): Analysis[] {
  return ids.flatMap((id) => analyses.get(id) ?? [])
}

// A worker is a place of its own, also for what stands in modules.
writeNumbersAs(navigator.language)
comlink.expose(hearing)
