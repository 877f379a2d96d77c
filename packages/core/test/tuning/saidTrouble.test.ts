import { describe, expect, it } from 'vitest'
import { historyOf, readLog, saidTrouble } from '../../src/tuning/index.js'
import { makeTrial } from './sampleLog.js'
import { advice, inShort, type Ride, type WrittenHistory, writtenLog } from './written.js'

const tells = (note: string) => saidTrouble(makeTrial(1, 0.3, { note })) !== null

describe('words of a seizure or of pinging', () => {
  it.each([
    'loud pinging and knocking under load',
    'seized at the bridge, freed after ten minutes',
    'Pinging on the hill.',
    'pinks a little uphill',
    'pinked at full throttle',
    'it knocks when hot',
    'a metallic rattle under load',
    'rattles on the hill',
    'some detonation at the top',
    'piston seized',
    'nipped up on the long climb',
    'the engine locked up for a moment',
    'no power and seized',
    'no pull, seized at the bridge',
    'no smoke but pinging at full throttle',
    'not warm yet and then it seized',
    'no pinging at first, then it pinged on the hill',
    'if I open the throttle it pings',
    'ran as if it seized',
    'light knocking at light load',
    'knocking, bad fuel?',
    'a seizure',
    'hardly any pinging',
    'pinging stopped when I let off',
    'seized. Changed the brake cable too',
    'new chain, and pinging uphill',
    'pinging over 4000',
    'slight pinging, mudguard rattles as well',
    'no pinging before the bridge, heavy pinging after it',
    'never seized before, seized today',
    'no noise, seized at the bridge',
    'rear wheel locked up',
    'the bike seized at the stone bridge',
    'seized a moment later',
    'with the trailer pings uphill',
    'with a full crate rattles under load',
    'knocks over half throttle',
    'knocked at full throttle',
    'seized when it stopped',
    'siezed on the hill',
    'the engine jammed on the hill, kicked free after ten minutes',
    'piston stuck',
    'engine was suddenly stuck',
    'a hole in the piston',
    'melted the piston at full throttle',
    'scored piston',
    'not warm yet and the engine jammed',
    'overheated and lost power on the hill',
    'no pinging, but it overheats with a full crate',
    'plug white and blistered',
    'an air leak at the crank seal',
    'lost all compression',
    'ran far too hot',
  ])('are noticed: %s', (text) => {
    expect(tells(text)).toBe(true)
  })
  it.each([
    'no pinging',
    'No pinging or knocking.',
    'no pinging, no knocking',
    'no pinging and knocking',
    'not seized',
    'not siezed',
    'engine not stuck',
    'no stuck piston',
    'listened for a jammed engine',
    'siezed bolt on the exhaust',
    'the chain jammed, then stuck in traffic',
    'snow melted, filled the hole in the basket',
    'did not seize this time',
    'hasn’t seized again',
    "didn't ping",
    'never pinged',
    'without any knocking',
    'no sign of pinging',
    'no longer pings',
    'no audible knock at all',
    'never heard it ping',
    'free of knock',
    'no trouble, no rattle, no smoke',
    'pinging: none',
    'knock? no',
    'the pinging is gone',
    'listened for pinging',
    'richer to avoid seizing',
    'go back if it pings',
    'for fear of seizing',
    'the mudguard rattles',
    'rattling mudguard',
    'rattle from the basket',
    'chain guard is still rattling',
    'seized bolt on the exhaust',
    'the rear brake seized',
    'seized the chance between two showers',
    'locked up the bike at the shop',
    'no pinging, knocking or rattling',
    'knocked over at the shop',
    'knocked the mirror off',
    'phone pinged me',
    'pinging as it cools',
    'pink sunset, warm',
    'front brake overheated on the way down',
    'no overheating, no air leaks',
    'never ran too hot',
    'mended an air leak in the front tyre',
    'blistered hands',
    'shopping, parking, camping',
    'seasoned wood, 60 kg',
    'smells hot on the bridge',
    'pulls better: "like a tram"',
  ])('are not: %s', (text) => {
    expect(tells(text)).toBe(false)
  })
  it('are found in a long text as soon as in a short one', () => {
    // An expression that goes back over what it has read would not come to an end with this.
    expect(tells(`${'no pinging '.repeat(100_000)}x pinging`)).toBe(true)
  })
  it('are asked about no more once trouble says what it was', () => {
    for (const words of ['seized', 'none'])
      expect(
        saidTrouble(
          makeTrial(1, 0.3, {
            noise: 'pinging',
            trouble: { kind: words === 'none' ? 'none' : 'seized', words },
          }),
        ),
      ).toBeNull()
  })
})

const LEANER = 'needle clip 2 -> 3 from bottom'
const OK: Ride = { skips: 43, head: 180, air: 12 }

describe('advice on a ride whose noise or note tells of trouble', () => {
  it.each<[string, Ride]>([
    ['noise: “loud pinging and knocking under load”', { noise: 'loud pinging and knocking under load' }],
    [
      'note: “seized at the bridge, freed after ten minutes”',
      { note: 'seized at the bridge, freed after ten minutes' },
    ],
  ])('is to say first what it was: %s', (words, more) => {
    const rides = [
      { ...OK, noise: 'no pinging' },
      { change: LEANER, skips: 27, head: 184, air: 12, ...more },
    ]
    const suggestions = advice({ rides })
    expect(suggestions.map(inShort)).toEqual(['halt (guard)'])
    expect(suggestions[0]!.say).toContain('the trouble of trial 2: seized, rattle, or none')
    expect(suggestions[0]!.evidence[0]).toBe(`Trial 2 has under ${words}, and nothing under trouble.`)
    const [first, second] = historyOf(readLog(writtenLog({ rides })).log).trials
    expect(first!.warnings.map(({ code }) => code)).not.toContain('said-trouble')
    expect(second!.warnings.find(({ code }) => code === 'said-trouble')).toMatchObject({
      trial: 2,
      message: expect.stringContaining(words),
    })
  })
  it('goes on once it is written that it was none', () => {
    const said = (written: WrittenHistory) => advice(written).map(inShort)
    expect(said({ rides: [{ ...OK, noise: 'pinging', trouble: 'none' }] })[0]).toBe(LEANER)
    expect(said({ rides: [{ ...OK, noise: 'pinging', trouble: 'rattle' }] })[0]).toMatch(/^halt/)
  })
  it('stands however many rides come after', () => {
    expect(
      advice({ rides: [{ ...OK, note: 'seized' }, OK, { ...OK, trouble: 'none' }] }).map(inShort),
    ).toEqual(['halt (guard)'])
  })
  it('leads out of danger to no such ride', () => {
    const rides = [
      OK,
      { change: LEANER, skips: 27, head: 184, air: 12, noise: 'pinging' },
      { change: 'needle clip 3 -> 4 from bottom', skips: 20, head: 215, air: 12 },
    ]
    expect(advice({ rides }).map(inShort)).toEqual(['halt: needle clip 4 -> 2 from bottom (guard)'])
  })
})
