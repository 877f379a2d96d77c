import type { Reason, ReasonCode } from './types.js'

/** What each reason says and what helps, in plain words; `{…}` is filled in. */
const TEXTS: Record<ReasonCode, { readonly message: string; readonly advice: string | null }> = {
  'no-engine': {
    message: 'No engine was heard {side} the change.',
    advice:
      'Record ten seconds or more of it running, with the phone fixed within two or three metres of the exhaust.',
  },
  'cannot-tell': {
    message: 'An engine is heard {side} the change, but hardly a turn of it can be judged.',
    advice:
      'Record it again closer to the exhaust, out of wind and talk, at the throttle you want to compare.',
  },
  holes: {
    message: 'The recorder lost some of the sound {side} the change, so nothing can be said of its turns.',
    advice: 'Close other apps and record again; a recorder app loses less than a browser on a busy phone.',
  },
  'other-running': {
    message: 'Mostly {before} is heard before the change and {after} after it: these do not compare.',
    advice: 'Record both sides in the same way, best at one throttle on the same stretch of road.',
  },
  'other-speed': {
    message:
      'Before the change it runs at about {before} rpm, after it at about {after}: speeds that far apart do not compare.',
    advice: 'Record both sides at the same crank speed: same gear or stretch of road, same throttle.',
  },
  'too-few-turns': {
    message: 'What both sides have in common is only {turns} turns of the crank, too few to compare.',
    advice: 'Record 20 seconds or more on each side at the same throttle.',
  },
  'speed-open': {
    message:
      'The sound {side} the change leaves open whether it runs at twice or half that speed, which would give another share.',
    advice: 'Say about where it runs, if you know.',
  },
  'speed-settled': {
    message:
      'The sound {side} the change fits another crank speed as well; the one that was heard on the other side is taken.',
    advice: 'If it was ridden at another speed, say about where it ran.',
  },
  'speed-multiple': {
    message:
      'One speed is about {times} times the other: one side may have been heard at a multiple of its speed.',
    advice: 'If both rode at one speed, say about where it runs.',
  },
  'poor-side': {
    message:
      'The recording {side} the change can hide skips, and the other does not: {hindrance} No verdict rests on that.',
    advice: '{help}',
  },
  'on-both-sides': {
    message:
      'Clip {before} before the change and clip {after} after it are the same recording, so neither counts.',
    advice: 'Give a clip that was recorded after the change.',
  },
  'counted-once': {
    message: 'Clip {clip} {side} the change is the same recording as clip {first}, so it counts once.',
    advice: null,
  },
  'pass-left-out': {
    message: 'Clip {clip} {side} the change is left out: {why}.',
    advice: null,
  },
  'one-pass': {
    message:
      'With one clip on a side, nothing shows how far rides with an unchanged engine differ, so a typical spread is assumed.',
    advice: 'Record two or three clips on each side.',
  },
  'passes-differ': {
    message: 'The clips of one side differ from one another more than chance explains.',
    advice: 'Keep throttle, load and road the same from clip to clip.',
  },
  'which-fires': {
    message: 'Many turns {side} the change can be heard either way: fired or skipped.',
    advice: 'A clip closer to the exhaust, where the crack is sharper, may tell.',
  },
  'hidden-turns': {
    message: 'Other sounds hide {share} % of the turns {side} the change.',
    advice: 'Record closer to the exhaust, out of wind, traffic and talk.',
  },
  'poor-recording': {
    message: 'Heard {side} the change: {hindrance}',
    advice: '{help}',
  },
  'small-change': {
    message: 'There is a change, but it is smaller than the {worth} points worth noticing.',
    advice: null,
  },
  'more-needed': {
    message:
      'The clips cannot tell a change smaller than about {points} points from none; with one more on each side it would be about {next}.',
    advice:
      'If the difference holds up, {clips} on each side, {seconds} seconds of running together, would settle it.',
  },
  'cannot-settle': {
    message:
      'The clips cannot tell a change smaller than about {points} points from none, and more of the same would not help much: with one more on each side it would be about {next}.',
    advice: 'Record longer clips, closer to the exhaust, at one throttle.',
  },
}

/** A reason with its figures filled in. */
export function reason(code: ReasonCode, figures: Readonly<Record<string, string | number>> = {}): Reason {
  const fill = (text: string): string =>
    text.replace(/\{(\w+)\}/g, (_, name: string) => String(figures[name]))
  const { message, advice } = TEXTS[code]
  return { code, message: fill(message), advice: advice === null ? null : fill(advice) }
}
