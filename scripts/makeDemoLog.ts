/**
 * Writes the made-up demo log `fixtures/cargo-bicycle.yaml`: `npx tsx scripts/makeDemoLog.ts`.
 *
 * For every trial it computes two clips with the simulator, hears them and keeps what was heard, as `everyrev log add`
 * does. The clips go to `fixtures/made/cargo-bicycle/`, which stays out of the repository: 24 clips of 20 seconds.
 */
import { mkdirSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { analyze, toRecording } from '../packages/core/src/index.js'
import { addTrial, loggedClip, newLogText, withClosingLine } from '../packages/core/src/tuning/index.js'
import { DEMO_ENGINE, DEMO_TRIALS, demoClip } from './simulate/demoTrials.js'
import { simulate } from './simulate/index.js'
import { makeWav } from './simulate/makeWav.js'

const NOTICE = `# Invented: nobody rode, the clips are computed (scripts/makeDemoLog.ts), and the engine is no advice for yours.
# The story: a 70 cc two-stroke on a cargo bicycle that delivers vegetables four-strokes at cruise.
`

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const fixtures = new URL('../fixtures/', import.meta.url)
  const clips = new URL('made/cargo-bicycle/', fixtures)
  mkdirSync(clips, { recursive: true })
  const started = NOTICE + newLogText(DEMO_ENGINE)
  let text = withClosingLine(started, 0, 0)
  DEMO_TRIALS.forEach(({ skipped, ...entry }, i) => {
    const names = ['a', 'b'].map((pass) => `${String(i + 1).padStart(2, '0')}-${pass}.wav`)
    const heard = names.map((name, pass) => {
      const { samples, rateHz } = simulate(
        demoClip(name, skipped, 100 * (i + 1) + pass),
        100 * (i + 1) + pass,
      )
      writeFileSync(new URL(name, clips), makeWav([samples], { rateHz }))
      return loggedClip(
        `made/cargo-bicycle/${name}`,
        analyze(toRecording({ channels: [samples], rateHz, notes: [] })),
      )
    })
    const kept = heard
      .filter((h) => h !== null)
      .map((h) => ({ ...h, readings: [...h.readings] as [number, number] }))
    text = addTrial(text, { ...entry, clips: kept.map(({ clip }) => clip), heard: kept })
    console.log(
      `trial ${i + 1}: made ${skipped}, heard ${kept.map((h) => `${h.skipped} (${h.low}-${h.high})`).join(', ')}`,
    )
  })
  writeFileSync(new URL('cargo-bicycle.yaml', fixtures), text)
}
