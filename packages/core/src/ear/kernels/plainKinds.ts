import { dot, multiplied, solved } from '../../math/matrix.js'
import type { PlainMemory } from './plainMemory.js'
import type { Kernels } from './types.js'

/** Plain kernels of what kinds of turn are sought by; see plain.ts. */
export function plainKinds(memory: PlainMemory): Pick<Kernels, 'findBorder' | 'splitAt' | 'repeatAlong'> {
  return {
    findBorder(x, count, least, _, out) {
      const { doubles } = memory
      const sorted = doubles.slice(x >> 3, (x >> 3) + count).sort()
      let [all, square] = [0, 0]
      for (const value of sorted) {
        all += value
        square += value * value
      }
      let [low, most, best] = [0, 0, 0]
      for (let below = 1; below < count; below++) {
        low += sorted[below - 1]!
        if (below < least * count || below > (1 - least) * count) continue
        const apart = (low / below - (all - low) / (count - below)) / count
        const between = apart * apart * below * (count - below)
        if (between > most) [most, best] = [between, below - 1]
      }
      const share = (best + 1) / count
      const within = square / count - (all / count) ** 2 - most
      doubles[out >> 3] = (sorted[best]! + sorted[Math.min(best + 1, count - 1)]!) / 2
      doubles[(out >> 3) + 1] = Math.sqrt(most / Math.max(share * (1 - share), 1e-6) / Math.max(within, 1e-9))
    },
    splitAt(x, count, at, out, key) {
      const { floats, doubles, shorts } = memory
      const isAbove = doubles.slice(x >> 3, (x >> 3) + count).map((value) => (value > at ? 1 : 0))
      const share = isAbove.reduce((sum, one) => sum + one, 0) / count
      shorts.fill(0, key >> 1, (key >> 1) + Math.ceil(count / 16))
      isAbove.forEach((one, n) => {
        floats[(out >> 2) + n] = one - share
        const place = (key >> 1) + (n >> 4)
        shorts[place] = 2 * shorts[place]! + (one === isAbove[0] ? 1 : 0)
      })
    },
    repeatAlong(matrices, beats, factor, size, rounds, direction, _, out) {
      const { doubles } = memory
      const take = (place: number, count: number) => doubles.subarray(place >> 3, (place >> 3) + count)
      const [d, found, triangle] = [take(direction, size), take(out, beats), take(factor, size * size)]
      for (let round = 0; ; round++) {
        const along = Array.from({ length: beats + 1 }, (_, n) =>
          multiplied(take(matrices + n * size * size * 8, size * size), d),
        )
        const [power, ...others] = along.map((vector) => dot(d, vector)) as [number, ...number[]]
        found.set(others.map((other) => other / (power + 1e-9)))
        if (round === rounds) return
        const mixed = d.map((_, i) => found.reduce((sum, beat, n) => sum + beat * along[n + 1]![i]!, 0))
        const next = solved(triangle, mixed)
        const length = Math.sqrt(dot(next, next)) + 1e-12
        d.set(next.map((x) => x / length))
      }
    },
  }
}
