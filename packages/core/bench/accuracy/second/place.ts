import { addScaled, smoothOnePole } from '../sound/filters.js'
import type { Random } from '../sound/random.js'
import type { Placing } from './types.js'

const SOUND_MPS = 343
/** Corner of a first-order low-pass standing for the loss in 1 m of air at 20 °C, 50 % (fitted by eye to ISO 9613-1). */
const AIR_CORNER_HZ_M = 600_000
const MAX_PATHS = 70

interface Path {
  readonly delayS: number
  readonly gain: number
  readonly bounces: number
}

/** Sound at the microphone plus how much later than at the source it is heard, both relative to the first arrival. */
export interface Placed {
  readonly samples: Float32Array
  /** Extra delay, seconds, of what leaves the machine at `timeS`; 0 for a standing machine. */
  readonly delayS: (timeS: number) => number
}

/** Places exhaust and intake (with the rest of the machine) at their own spots and lets walls and ground answer. */
export function placeEngine(
  exhaust: Float32Array,
  body: Float32Array,
  placing: Placing,
  rateHz: number,
  random: Random,
): Placed {
  if (placing.kind === 'pass-by') return passBy(addScaled(exhaust.slice(), body, 1), placing, rateHz, random)
  const room = drawRoom(placing, random)
  const out = new Float32Array(exhaust.length)
  const first = room.spots[0]!
  const base = Math.hypot(...first.map((v, axis) => v - room.ear[axis]!)) / SOUND_MPS
  for (const [index, signal] of [exhaust, body].entries()) {
    const paths = imagePaths(room, room.spots[index]!)
    addScaled(out, hearPaths(signal, paths, base, rateHz), placing.distanceM)
  }
  smoothOnePole(out, rateHz, Math.min(0.45 * rateHz, AIR_CORNER_HZ_M / placing.distanceM))
  return { samples: out, delayS: () => 0 }
}

interface Room {
  readonly size: readonly number[]
  /** Reflected share of pressure at the six faces: low x, high x, low y, high y, ground, top; 0 is open air. */
  readonly faces: readonly number[]
  readonly ear: readonly number[]
  readonly spots: readonly (readonly number[])[]
}

function drawRoom(placing: Placing, random: Random): Room {
  const far = placing.distanceM
  const street = placing.kind === 'street'
  const shed = placing.kind === 'shed'
  const width = street ? random.between(9, 16) : shed ? random.between(3, 5) : 400
  const length = shed ? Math.max(far + 1.5, random.between(4, 7)) : 800
  const wall = street ? random.between(0.7, 0.85) : shed ? random.between(0.6, 0.8) : 0
  const ear = [width * random.between(0.25, 0.45), length / 2 - far / 2, random.between(1, 1.6)]
  const spot = [ear[0]! + random.between(0, 0.3) * Math.min(far, width / 3), length / 2 + far / 2, 0.3]
  const intake = [spot[0]! + random.between(-0.15, 0.15), spot[1]! - random.between(0.3, 0.6), 0.5]
  return {
    size: [width, length, shed ? 2.6 : 100],
    faces: [wall, wall, shed ? wall : 0, shed ? 0.5 * wall : 0, random.between(0.5, 0.85), shed ? 0.7 : 0],
    ear,
    spots: [spot, intake],
  }
}

/** Mirror images of a source in a box (J. B. Allen & D. A. Berkley, 1979), up to eight bounces, strongest kept. */
function imagePaths(room: Room, spot: readonly number[]): Path[] {
  const axes = [0, 1, 2].map((axis) => {
    const images: { offset: number; gain: number; bounces: number }[] = []
    for (let n = -4; n <= 4; n++) {
      for (const mirrored of [0, 1]) {
        const low = Math.abs(n - mirrored)
        const high = Math.abs(n)
        const gain = room.faces[2 * axis]! ** low * room.faces[2 * axis + 1]! ** high
        if (gain < 1e-3) continue
        const at = (mirrored ? -spot[axis]! : spot[axis]!) + 2 * n * room.size[axis]!
        images.push({ offset: at - room.ear[axis]!, gain, bounces: low + high })
      }
    }
    return images
  })
  const paths: Path[] = []
  for (const x of axes[0]!) {
    for (const y of axes[1]!) {
      for (const z of axes[2]!) {
        const bounces = x.bounces + y.bounces + z.bounces
        if (bounces > 8) continue
        const distance = Math.hypot(x.offset, y.offset, z.offset)
        paths.push({ delayS: distance / SOUND_MPS, gain: (x.gain * y.gain * z.gain) / distance, bounces })
      }
    }
  }
  return paths.sort((a, b) => b.gain - a.gain).slice(0, MAX_PATHS)
}

/** Adds the paths up; what has bounced k times has gone k times through the wall's low-pass. */
function hearPaths(
  signal: Float32Array,
  paths: readonly Path[],
  baseS: number,
  rateHz: number,
): Float32Array {
  const most = paths.reduce((top, path) => Math.max(top, path.bounces), 0)
  const sum = new Float32Array(signal.length)
  for (let bounces = most; bounces >= 0; bounces--) {
    for (const path of paths) {
      if (path.bounces !== bounces) continue
      const shift = Math.max(0, Math.round((path.delayS - baseS) * rateHz))
      const gain = path.gain
      for (let i = shift; i < sum.length; i++) sum[i]! += gain * signal[i - shift]!
    }
    if (bounces > 0) smoothOnePole(sum, rateHz, 3200)
  }
  return sum
}

/** Straight drive past the microphone: direct sound, ground and one wall, each with its own running delay. */
function passBy(signal: Float32Array, placing: Placing, rateHz: number, random: Random): Placed {
  const near = placing.distanceM
  const height = 1.4
  const wall = near + random.between(3, 8)
  const along = (timeS: number): number => placing.passSpeedMps * (timeS - placing.passTimeS)
  const images = [
    { side: near, up: height - 0.3, gain: 1 },
    { side: near, up: height + 0.3, gain: -random.between(-0.8, -0.5) },
    { side: 2 * wall - near, up: height, gain: random.between(0.3, 0.6) },
  ]
  const out = new Float32Array(signal.length)
  const block = 64
  const start = Math.hypot(near, along(0), height - 0.3) / SOUND_MPS
  for (const image of images) {
    // time of sending is found backwards from the time of hearing, on a coarse grid
    const sentAt = (heardS: number): { sentS: number; distance: number } => {
      let sentS = heardS
      let distance = 0
      for (let k = 0; k < 4; k++) {
        distance = Math.hypot(image.side, along(sentS), image.up)
        sentS = heardS + start - distance / SOUND_MPS
      }
      return { sentS, distance }
    }
    let from = sentAt(0)
    let dull = 0
    for (let i = 0; i < out.length; i += block) {
      const to = sentAt((i + block) / rateHz)
      const keep = Math.exp(
        (-2 * Math.PI * Math.min(0.45 * rateHz, AIR_CORNER_HZ_M / from.distance)) / rateHz,
      )
      for (let j = 0; j < block && i + j < out.length; j++) {
        const share = j / block
        const at = (from.sentS + (to.sentS - from.sentS) * share) * rateHz
        const k = Math.floor(at)
        if (k < 1 || k + 2 >= signal.length) continue
        const v = cubic(signal, k, at - k)
        dull = v + keep * (dull - v)
        const distance = from.distance + (to.distance - from.distance) * share
        out[i + j]! += (image.gain * near * dull) / distance
      }
      from = to
    }
  }
  return {
    samples: out,
    delayS: (timeS) => Math.hypot(near, along(timeS), height - 0.3) / SOUND_MPS - start,
  }
}

function cubic(x: Float32Array, k: number, t: number): number {
  const a = x[k - 1]!
  const b = x[k]!
  const c = x[k + 1]!
  const d = x[k + 2]!
  return b + 0.5 * t * (c - a + t * (2 * a - 5 * b + 4 * c - d + t * (3 * (b - c) + d - a)))
}
