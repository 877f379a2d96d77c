import { jetAreaChange } from '../../workshop/jet.js'
import { ENOUGH_OFF_KEY_MM, keyDeg } from '../../workshop/key.js'
import { faceText, keyState } from '../../workshop/keyState.js'
import { rimMm } from '../../workshop/rim.js'
import type { Change, EngineBuild } from '../types.js'

/** What has to be known at the workbench to make a change, plain sentences; empty where it is plain. */
export function practicalFor({ knob, from, to }: Change, engine: EngineBuild): string[] {
  if (from?.value == null || to.value === null) return []
  if (knob === 'flywheel key') return keyText(from.value, to.value, engine)
  if (knob === 'main jet' || knob === 'pilot jet') {
    const percent = 100 * jetAreaChange(from.value, to.value)
    return [
      `By area that is ${Math.abs(percent).toFixed(1)} % ${percent < 0 ? 'less' : 'more'} fuel through it.`,
    ]
  }
  if (knob === 'needle clip' && !Number.isInteger(to.value))
    return ['A thin washer under the clip is about half a notch.']
  return []
}

/** Face, degrees, what is left and how to check it, for a key shaved from one state to another, mm later. */
function keyText(from: number, to: number, engine: EngineBuild): string[] {
  const shift = to > from ? 'later' : 'earlier'
  const turnsBack = from !== 0 && Math.sign(from) !== Math.sign(to - from)
  if (turnsBack) return ['A shaved key cannot be put back: that takes a new key.']
  const off = Number(Math.abs(to - from).toFixed(3))
  const sentences = [
    `Shave ${off} mm off ${faceText(shift, engine.rotation)}. It cannot be undone, but for a new key; more than ${ENOUGH_OFF_KEY_MM} mm in all is never needed.`,
  ]
  if (engine.shaftMm === null)
    return [
      ...sentences,
      'How many degrees that is takes the diameter of the shaft: write shaft under engine.',
    ]
  const key = {
    shaftMm: engine.shaftMm,
    ...(engine.keyWidthMm !== null && { widthMm: engine.keyWidthMm }),
  }
  const deg = keyDeg(Math.abs(to), key) - keyDeg(Math.abs(from), key)
  const { leftMm } = keyState(to, key)
  const rim =
    engine.flywheelMm === null
      ? ''
      : `, ${rimMm(deg, engine.flywheelMm).toFixed(1)} mm on the rim of the flywheel`
  return [
    ...sentences,
    `That is about ${deg.toFixed(1)}° with all the play used${rim}; then ${Number(leftMm.toFixed(2))} mm may still come off. A mark across rim and case tells what it really did.`,
  ]
}
