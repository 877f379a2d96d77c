import type { Analysis } from '@everyrev/core'
import {
  addTrial,
  bigStepWarnings,
  changesBetween,
  changeText,
  historyOf,
  type JudgedTrial,
  type LoggedClip,
  type LogWarning,
  loggedClip,
  type NewTrial,
  outsideWarnings,
  readLog,
  type TuningLog,
} from '@everyrev/core/tuning'
import { CommanderError } from 'commander'
import { EXIT } from '../../exit.js'
import { changeLogFile, readLogFile } from '../../io/logFile.js'
import { readRulesFile } from '../../io/rulesFile.js'
import { dayText } from '../../render/dayText.js'
import { addedText } from '../../render/log/addedText.js'
import { wrap } from '../../render/wrap.js'
import { terminalStyle } from '../terminalStyle.js'
import { warn } from '../warn.js'
import { aheadWarning } from './aheadWarning.js'
import { clipListener, clipName, clipPath } from './clips.js'
import { namingFlag } from './namingFlag.js'
import { type TrialOptions, trialFields } from './trialFields.js'

export interface AddOptions extends TrialOptions {
  readonly change?: readonly string[]
  readonly backTo?: string
  readonly clip?: readonly string[]
  readonly date?: string
  readonly progress: boolean
}

/** `log add`: hears the clips, writes the trial, says what it did and warns of what spoils it. */
export async function addToLog(file: string, options: AddOptions): Promise<void> {
  const text = await readLogFile(file)
  const before = readLog(text)
  // What cannot be is refused before anything is listened to.
  const planned = toTrial(file, before.log, options, [])
  const unheard = namingFlag(
    { ...planned },
    (one) => addTrial(text, { date: dayText(new Date()), note: '-', ...one }),
    () => addTrial(text, planned),
  )
  const clips = options.clip ?? []
  const listenTo = clipListener(file, before.log, options.progress)
  const { heard, repeats } = await hearClips(file, clips, earlierClips(file, unheard), listenTo)
  const trial = toTrial(file, before.log, options, heard)
  const written = await changeLogFile(file, (now) => {
    const after = addTrial(now, trial)
    readLog(after)
    return { text: after, result: after }
  })
  const { log, warnings } = readLog(written)
  const added = historyOf(log).trials.at(-1)!
  const { width } = terminalStyle(process.stdout, process.env)
  process.stdout.write(addedText(added, clips.length - repeats.length, width))
  const sentences = await verdictFromClips(file, added, listenTo)
  if (sentences) process.stdout.write(`${wrap(sentences, width).join('\n')}\n`)
  if (added.share && added.share.value > ASKED_FROM && added.trial.underPull === null)
    process.stdout.write(`${wrap(pullingQuestion(file, added.trial.number), width).join('\n')}\n`)
  for (const message of repeats) warn(file, { trial: added.trial.number, message })
  const ahead = aheadWarning(trial.date, new Date())
  if (ahead) warn(file, { trial: added.trial.number, message: ahead })
  const own = ({ trial: number }: LogWarning) => number === added.trial.number
  const outside = outsideWarnings(added.trial, await readRulesFile())
  const far = bigStepWarnings(log, added.trial)
  for (const warning of [...warnings.filter(own), ...added.warnings, ...outside, ...far]) warn(file, warning)
}

/** Clips at hand of the trial that the last one of a log is judged against, and of the one before it. */
function earlierClips(file: string, text: string): string[] {
  const { trials } = historyOf(readLog(text).log)
  const earlier = [trials.at(-1)?.reference, trials.at(-2)?.trial]
  const names = new Set(earlier.flatMap((trial) => trial?.clips ?? []))
  return [...names].filter((name) => clipPath(file, name) !== null)
}

/** Hears the clips of a new trial; a recording that is there already is not counted again, and said. */
async function hearClips(
  file: string,
  clips: readonly string[],
  earlier: readonly string[],
  listenTo: ReturnType<typeof clipListener>,
): Promise<{ readonly heard: LoggedClip[]; readonly repeats: string[] }> {
  const heard: LoggedClip[] = []
  const repeats: string[] = []
  const known: { name: string; analysis: Analysis }[] = []
  if (clips.length === 0) return { heard, repeats }
  const { isSameRecording } = await import('@everyrev/core')
  for (const name of earlier) known.push({ name, analysis: await listenTo(name) })
  for (const clip of clips) {
    const name = clipName(file, clip)
    const analysis = await listenTo(clip)
    const first = known.find((other) => isSameRecording(other.analysis, analysis))
    known.push({ name, analysis })
    const found = first ? null : loggedClip(name, analysis)
    if (found) heard.push(found)
    if (first) repeats.push(`${name} is the same recording as ${first.name}, so it is not counted`)
  }
  return { heard, repeats }
}

/** Share of skipped turns from which it matters whether it skips under pull as well: the mildest grade of skipping. */
const ASKED_FROM = 0.06

function pullingQuestion(file: string, number: number): string {
  return `Does it skip when it pulls as well? That tells a rich mixture from light load: everyrev log edit ${file} --trial ${number} --pulling skips (or clean).`
}

function toTrial(file: string, log: TuningLog, options: AddOptions, heard: readonly LoggedClip[]): NewTrial {
  return {
    date: options.date ?? dayText(new Date()),
    change: options.backTo === undefined ? (options.change ?? []) : backTo(log, options),
    clips: (options.clip ?? []).map((clip) => clipName(file, clip)),
    ...trialFields(options),
    heard,
  }
}

/** The changes that lead back to an earlier trial's setting. */
function backTo(log: TuningLog, { backTo: wanted, change }: AddOptions): string[] {
  if (change) throw refused('--back-to already says what is changed; leave --change out')
  const there = log.trials.find(({ number }) => String(number) === wanted)
  if (!there) throw refused(`--back-to: there is no trial ${wanted}; the log has 1 to ${log.trials.length}`)
  return changesBetween(log.trials.at(-1)!.setting, there.setting).map(changeText)
}

/** The verdict `compare` gives on the clips, where those of the trial it is judged against are at hand; else null. */
async function verdictFromClips(
  file: string,
  { trial, reference }: JudgedTrial,
  listenTo: ReturnType<typeof clipListener>,
): Promise<string | null> {
  const sides = [reference?.clips ?? [], trial.clips]
  if (sides.some((clips) => clips.length === 0 || clips.some((name) => clipPath(file, name) === null)))
    return null
  const [before, after] = await Promise.all(sides.map((clips) => Promise.all(clips.map(listenTo))))
  const [{ compare }, { verdictSentences }] = await Promise.all([
    import('@everyrev/core'),
    import('../../render/compareSentences.js'),
  ])
  const sentences = verdictSentences(compare(before!, after!)).join(' ')
  return `Against trial ${reference!.number}, clip by clip: ${sentences}`
}

const refused = (message: string): CommanderError =>
  new CommanderError(EXIT.usage, 'everyrev.conflict', message)
