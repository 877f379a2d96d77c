import { spanAt, targetSpeedHz } from './drive.js'
import type { Drive, DriveSpan } from './types.js'

/** How far ahead the rider looks, s. */
const AHEAD_S = 0.02
/** In what time a wrong speed is put right, s. */
const CORRECTION_S = 0.12
/** How quickly the hand turns the throttle, 1/s. */
const HAND_PER_S = 30

/** What rider and road want of the engine, renewed now and then. */
export class Rider {
  span: DriveSpan
  /** Wished speed of the crank, rad/s. */
  wishedRadS = 0
  /** What the load adds or takes to get there, rad/s². */
  pullRadS2 = 0
  /** Free area of the carburettor as a share of the intake pipe, 0–1. */
  throttle: number

  constructor(private readonly drive: Drive) {
    this.span = drive.spans[0]!
    this.throttle = this.span.throttle
  }

  /** @param lapseS since the last time */
  follow(timeS: number, speedRadS: number, lapseS: number): void {
    this.span = spanAt(this.drive, timeS)
    this.wishedRadS = this.wishedAt(timeS)
    this.pullRadS2 =
      (this.wishedAt(timeS + AHEAD_S) - this.wishedRadS) / AHEAD_S +
      (this.wishedRadS - speedRadS) / CORRECTION_S
    this.throttle += lapseS * HAND_PER_S * (this.span.throttle - this.throttle)
  }

  /** Wished speed of the crank at any time, rad/s. */
  wishedAt(timeS: number): number {
    return 2 * Math.PI * targetSpeedHz(this.drive, timeS)
  }
}
