/** The two sides, in the order they are named. */
export const SIDES = ['before', 'after'] as const
export type SideName = (typeof SIDES)[number]
export type Sides<T> = Readonly<Record<SideName, T>>

/** Does the same on both sides. */
export function onBoth<T>(make: (side: SideName) => T): Sides<T> {
  return { before: make('before'), after: make('after') }
}
