import * as v from 'valibot'

/** Text, or a number that stands where text is wanted (`main jet: 70`). */
const text = (what: string) =>
  v.pipe(v.union([v.pipe(v.string(), v.trim(), v.nonEmpty()), v.number()]), v.description(what))
const field = (what: string) => v.optional(text(what))
const share = v.pipe(v.number(), v.minValue(0), v.maxValue(1))
const listOf = (what: string) => v.pipe(v.union([text(what), v.array(text(what))]), v.description(what))

const heard = v.pipe(
  v.strictObject({
    clip: text('name of the clip'),
    running: v.picklist(['steady', 'mixed']),
    rpm: v.pipe(v.number(), v.minValue(1), v.description('median crank speed, rpm')),
    turns: v.pipe(v.number(), v.integer(), v.minValue(1), v.description('turns judged')),
    skipped: v.pipe(share, v.description('share of skipped turns, 0 to 1')),
    low: v.pipe(share, v.description('lower end of its 95 % interval')),
    high: v.pipe(share, v.description('upper end of its 95 % interval')),
    independent: v.pipe(
      v.number(),
      v.minValue(1),
      v.description('independent turns the clip is worth: few where skips come in runs'),
    ),
    readings: v.pipe(
      v.strictTuple([share, share]),
      v.description('lowest and highest share under every believable reading of the sound'),
    ),
    pattern: v.pipe(v.string(), v.description('pattern most turns are in')),
    pulling: v.optional(v.nullable(v.pipe(share, v.description('share of skipped turns while pulling')))),
    popDb: v.optional(
      v.nullable(v.pipe(v.number(), v.description('how much louder it fires after a skip, dB'))),
    ),
    longestRun: v.optional(
      v.nullable(v.pipe(v.number(), v.minValue(0), v.description('longest run of skipped turns'))),
    ),
    skipRpm: v.optional(
      v.nullable(
        v.pipe(v.number(), v.minValue(1), v.description('median crank speed of skipped turns, rpm')),
      ),
    ),
  }),
  v.description('what one clip said, written by everyrev when it was added'),
)

const trial = v.pipe(
  v.strictObject({
    trial: v.pipe(v.number(), v.integer(), v.minValue(1), v.description('number of the trial, 1, 2, 3 …')),
    date: v.pipe(v.string(), v.isoDate(), v.description('day, as in 2026-04-03')),
    change: v.optional(
      listOf('the one thing changed, as in needle clip 2 -> 3 from bottom; left out for a repeat'),
    ),
    clips: v.optional(listOf('clip, relative to this file')),
    air: field('air temperature with its unit, as in 14 °C'),
    head: field('head temperature with its unit, as in 176 °C or 350 °F'),
    engine: v.optional(v.pipe(v.picklist(['warm', 'cold']), v.description('warm or cold'))),
    pull: v.optional(
      v.pipe(
        v.picklist(['better', 'same', 'worse']),
        v.description('pull against the trial before: better, same or worse'),
      ),
    ),
    pullFirst: v.optional(
      v.pipe(
        v.picklist(['better', 'same', 'worse']),
        v.description('pull against the first trial: better, same or worse'),
      ),
    ),
    pulling: v.optional(
      v.pipe(
        v.picklist(['skips', 'clean']),
        v.description('whether it also skips when it pulls: skips or clean'),
      ),
    ),
    trouble: field(
      'what went wrong: seized, rattle, smoke, no pull, other words; none once its cause is found and mended',
    ),
    runningIn: v.optional(v.pipe(v.boolean(), v.description('true while the engine is run in'))),
    noise: field('how it sounded, in the rider’s words'),
    load: field('what was carried, as in 60 kg'),
    weather: field('weather in the rider’s words'),
    note: field('the rider’s own words'),
    heard: v.optional(v.array(heard)),
  }),
  v.description('one trial'),
)

const engine = v.pipe(
  v.strictObject({
    name: text('name of the engine'),
    bore: field('bore, as in 47 mm'),
    stroke: field('stroke, as in 40 mm'),
    rod: field('connecting rod between the centres of its eyes, as in 85 mm'),
    shaft: field('crank shaft at the flywheel key, as in 15 mm'),
    key: field('width of the flywheel key, as in 3 mm'),
    flywheel: field('diameter of the flywheel’s rim, as in 90 mm'),
    notches: v.optional(
      v.pipe(
        v.number(),
        v.integer(),
        v.minValue(2),
        v.maxValue(9),
        v.description('notches of the needle, 2 to 9; 5 when left out'),
      ),
    ),
    rotation: v.optional(
      v.pipe(
        v.picklist(['clockwise', 'anticlockwise']),
        v.description('clockwise or anticlockwise, seen from the flywheel side'),
      ),
    ),
    primary: field('turns of the crank for one of the engine sprocket, as in 4.1'),
    sprockets: field('teeth of engine and wheel sprocket, as in 10/44'),
    wheel: field('tyre size by ISO 5775, as in 57-559, or measured roll-out, as in 2.06 m'),
    slip: field('lost between clutch, tyre and road, as in 3 %'),
    headLimit: field('the maker’s limit for the head, as in 220 °C; 232 °C (common practice) when left out'),
  }),
  v.description('the engine as built'),
)

/** The log as YAML writes it. The published JSON Schema is made from this. */
export const LOG_SCHEMA = v.pipe(
  v.strictObject({
    everyrevLog: v.pipe(v.literal(1), v.description('version of this format: 1')),
    engine,
    settings: v.optional(
      v.pipe(
        v.record(v.string(), text('what the knob stands at')),
        v.description('what every knob stood at before trial 1, as in needle clip: 2 from bottom'),
      ),
    ),
    trials: v.pipe(v.array(trial), v.description('trials in order')),
    undone: v.optional(
      v.pipe(v.array(trial), v.description('trials taken back with everyrev log undo, newest last')),
    ),
  }),
  v.title('everyrev tuning log'),
  v.description('One engine and its trials, one change at a time. YAML; comments are welcome and stay.'),
)

export type LogFile = v.InferOutput<typeof LOG_SCHEMA>
export type TrialEntry = LogFile['trials'][number]
export type HeardEntry = NonNullable<TrialEntry['heard']>[number]
