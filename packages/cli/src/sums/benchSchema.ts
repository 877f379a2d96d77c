import * as v from 'valibot'
import { BENCH_SCHEMA_VERSION, type BenchJson } from '../render/benchJson.js'
import { atLeast0, text } from '../render/schemaParts.js'
import { PARTS } from './parts.js'

const figure = v.strictObject({
  name: text,
  value: v.pipe(v.number(), v.description('in `unit`')),
  plusMinus: v.pipe(atLeast0, v.description('half-width, in `unit`; 0 = taken as exact')),
  unit: v.pipe(v.string(), v.description('as shown: mm, °, °C, ml, rpm, :1, % …; empty for a bare number')),
})

/** All that `bench --json` prints; `bench.schema.json` is made from it. */
export const BENCH_SCHEMA = v.strictObject({
  schemaVersion: v.literal(BENCH_SCHEMA_VERSION),
  part: v.picklist(PARTS.map(({ name }) => name)),
  figures: v.pipe(v.array(figure), v.minLength(1)),
  words: v.array(v.string()),
  caution: v.nullable(v.string()),
}) satisfies v.GenericSchema<unknown, BenchJson>
