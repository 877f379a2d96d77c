/**
 * What the shipped ear reaches on the slice that floors.test.ts hears, beside its floors: `tsx packages/core/bench/accuracy/floors.ts`.
 * Floors are set by hand, a little under. Recordings that are not there leave their figures out.
 */
import { readFileSync } from 'node:fs'
import { figuresOfSlice } from './slice.js'

const file = new URL('floors.json', import.meta.url)
const { floors } = JSON.parse(readFileSync(file, 'utf8')) as { floors: Record<string, object> }
const figures = await figuresOfSlice()
for (const [name, floor] of Object.entries(floors))
  console.log(name.padEnd(28), (figures[name]?.value.toFixed(4) ?? '-').padStart(8), JSON.stringify(floor))
