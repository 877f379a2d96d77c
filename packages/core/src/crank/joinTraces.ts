import type { Trace } from './types.js'

/** Traces that follow one another, as one; each but the last of whole frames of speed. */
export interface TraceJoiner {
  add(trace: Trace): void
  /** All of it; shares memory with the joiner. */
  joined(): Trace
}

/**
 * @remarks Columns grow to twice their length. Until it is written to, memory costs nothing, so that hours are held once
 *   and one column of them twice for a moment.
 */
export function makeTraceJoiner(): TraceJoiner {
  const bin = floatColumn()
  const mass = floatColumn()
  const engine = floatColumn()
  const coasting = floatColumn()
  const cosine = byteColumn()
  const sine = byteColumn()
  const fired = byteColumn()
  const level = makeColumn<Uint8Array>((length) => new Uint8Array(length))
  return {
    add(trace) {
      bin.add(trace.bin)
      mass.add(trace.mass)
      engine.add(trace.engine)
      coasting.add(trace.coasting)
      cosine.add(trace.cosine)
      sine.add(trace.sine)
      fired.add(trace.fired)
      level.add(trace.level)
    },
    joined: () => ({
      frames: fired.all().length,
      bin: bin.all(),
      mass: mass.all(),
      engine: engine.all(),
      coasting: coasting.all(),
      cosine: cosine.all(),
      sine: sine.all(),
      fired: fired.all(),
      level: level.all(),
    }),
  }
}

const floatColumn = () => makeColumn<Float32Array>((length) => new Float32Array(length))
const byteColumn = () => makeColumn<Int8Array>((length) => new Int8Array(length))

interface Column<T> {
  add(part: T): void
  all(): T
}

function makeColumn<T extends Float32Array | Int8Array | Uint8Array>(make: (length: number) => T): Column<T> {
  let values = make(0)
  let length = 0
  return {
    add(part) {
      if (length + part.length > values.length) {
        const grown = make(Math.max(length + part.length, 2 * values.length))
        grown.set(values)
        values = grown
      }
      values.set(part, length)
      length += part.length
    },
    all: () => values.subarray(0, length) as T,
  }
}
