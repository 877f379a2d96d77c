import { type Analysis, analyze, InputError, mainRatio, type Recording, toRecording } from '@everyrev/core'
import { stripSlices } from '../../render/strip.js'
import { LATELY_S, LIVE_COLUMNS, WHOLE_S } from '../limits.js'
import type { Take } from '../record/take.js'
import type { Expected, LiveAnswer, SoFar } from '../types.js'
import { figureOf } from './answer.js'
import { type Against, stillNeeded } from './stillNeeded.js'

/**
 * Listens to what a recording holds so far: the last seconds for engine, level, clipping and wind; with `against`, up to
 * a minute for what it would settle.
 */
export function hearSoFar(take: Take, expectRpm: Expected, against: Against | null): LiveAnswer {
  const last = hearTail(take, LATELY_S, expectRpm)
  const whole = against && hearTail(take, WHOLE_S, expectRpm)
  return {
    lengthS: take.lengthS,
    engine: last?.verdict === 'measured',
    rpm: last?.medianRpm ?? null,
    hindrances: (last?.quality.hindrances ?? []).filter(({ code }) => code !== 'too-short'),
    soFar: against && whole && soFar(whole, against),
  }
}

function soFar(whole: Analysis, against: Against): SoFar {
  const measured = whole.verdict === 'measured'
  return {
    needed: stillNeeded(whole, against),
    figure: measured ? figureOf(mainRatio(whole)) : null,
    strip: measured ? stripSlices(whole, LIVE_COLUMNS) : [],
    lengthS: whole.durationS,
  }
}

/** Null for sound too short or too quiet to say anything yet. */
function hearTail(take: Take, lastS: number, expectRpm: Expected): Analysis | null {
  const recording = recordingOf(take, lastS)
  return recording && analyze(recording, expectRpm ? { expectRpm } : {})
}

function recordingOf(take: Take, lastS: number): Recording | null {
  try {
    return toRecording({ channels: [take.tail(lastS)], rateHz: take.rateHz, notes: [] })
  } catch (error) {
    if (error instanceof InputError) return null
    throw error
  }
}
