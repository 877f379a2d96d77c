/**
 * Writes the made-up demo clips and their truth to `fixtures/`: `npx tsx scripts/makeFixtures.ts`.
 *
 * For each clip `<name>.wav` (16 bit, mono) and `<name>.truth.json`.
 */
import { mkdirSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { simulate } from './simulate/index.js'
import { makeWav } from './simulate/makeWav.js'
import { type StoryClip, tellStory } from './simulate/story.js'
import { TRUTH_LABELS, type Truth } from './simulate/types.js'

/** The two files of a clip. */
export function makeFixture({ file, seed, about, scenario }: StoryClip): { wav: Uint8Array; truth: string } {
  const { samples, rateHz, truth } = simulate(scenario, seed)
  const head = {
    file: `${file}.wav`,
    invented: true,
    madeBy: 'scripts/makeFixtures.ts',
    seed,
    about,
    engine: scenario.engine !== null,
    turns: truth.label.length,
    misfireRatio: scenario.engine ? round(misfireRatio(truth), 3) : null,
    labels: TRUTH_LABELS,
  }
  return { wav: makeWav([samples], { rateHz }), truth: `${render({ ...head, ...columns(truth) })}\n` }
}

/** Share of turns skipped; a partial burn counts by what it left unburnt. */
function misfireRatio({ burn, label }: Truth): number {
  const partial = TRUTH_LABELS.indexOf('partial')
  return label.reduce((sum, code, k) => sum + (code === partial ? 1 - burn[k]! : code), 0) / label.length
}

/** Columns of equal length. */
function columns(truth: Truth): Record<string, number[] | string[]> {
  const numbers = (list: ArrayLike<number>, digits: number) => Array.from(list, (v) => round(v, digits))
  return {
    turnStartS: numbers(truth.turnStartS, 5),
    turnEndS: numbers(truth.turnEndS, 5),
    pulseS: numbers(truth.pulseS, 5),
    speedRpm: numbers(truth.speedRpm, 1),
    burn: numbers(truth.burn, 2),
    label: Array.from(truth.label),
    state: [...truth.state],
  }
}

/** JSON with one line a field: a column is one line, so that a changed turn shows as one changed line. */
function render(record: Record<string, unknown>): string {
  const fields = Object.entries(record).map(
    ([key, value]) => `  ${JSON.stringify(key)}: ${JSON.stringify(value)}`,
  )
  return `{\n${fields.join(',\n')}\n}`
}

const round = (value: number, digits: number): number => Math.round(value * 10 ** digits) / 10 ** digits

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const folder = new URL('../fixtures/', import.meta.url)
  mkdirSync(folder, { recursive: true })
  for (const clip of tellStory()) {
    const { wav, truth } = makeFixture(clip)
    writeFileSync(new URL(`${clip.file}.wav`, folder), wav)
    writeFileSync(new URL(`${clip.file}.truth.json`, folder), truth)
    const { turns, misfireRatio } = JSON.parse(truth)
    console.log(
      `${clip.file}.wav: ${Math.round(wav.length / 1000)} kB, ${turns} turns, misfire ratio ${misfireRatio ?? 'n/a'}`,
    )
  }
}
