import type { Random } from '../../../scripts/simulate/index.js'
import { makeWav, type WavRecipe } from '../../../scripts/simulate/makeWav.js'
import type { Seed } from './seeds.js'

/** Numbers at which readers stumble. */
const EDGES = [0, 1, 2, 0x7f, 0x80, 0xff, 0x7fff, 0xffff, 0x7fffffff, 0x80000000, 0xfffffff0, 0xffffffff]
/** Where the headers of most formats lie. */
const HEAD_BYTES = 200
const MOST_BYTES = 400_000

/** One to eight damages of a seed, in the head half of the time. */
export function mutate(seeds: readonly Seed[], random: Random): Seed {
  const seed = random.pick(seeds)
  let bytes: Buffer = Buffer.from(seed.bytes)
  for (let k = random.whole(1, 8); k > 0 && bytes.length > 0; k--) bytes = damage(bytes, seeds, random)
  return { ending: random.chance(0.95) ? seed.ending : random.pick(seeds).ending, bytes }
}

function damage(bytes: Buffer, seeds: readonly Seed[], random: Random): Buffer {
  const at = random.chance(0.5)
    ? random.whole(0, Math.min(HEAD_BYTES, bytes.length) - 1)
    : random.whole(0, bytes.length - 1)
  const to = Math.min(bytes.length, at + Math.round(random.octaves(1, 4_000)))
  switch (random.whole(0, 7)) {
    case 0:
      bytes[at] = bytes[at]! ^ (1 << random.whole(0, 7))
      return bytes
    case 1:
      bytes[at] = random.whole(0, 255)
      return bytes
    case 2: {
      const number = Buffer.alloc(4)
      const isBig = random.chance(0.5)
      number[isBig ? 'writeUInt32BE' : 'writeUInt32LE'](random.pick(EDGES))
      number.copy(bytes, at, random.chance(0.3) ? (isBig ? 2 : 0) : 0)
      return bytes
    }
    case 3:
      return bytes.subarray(0, at)
    case 4:
      bytes.fill(random.pick([0, 0xff]), at, to)
      return bytes
    case 5:
      return Buffer.concat([bytes.subarray(0, at), bytes.subarray(to)])
    case 6:
      return Buffer.concat([bytes.subarray(0, to), bytes.subarray(at)]).subarray(0, MOST_BYTES)
    default: {
      const other = random.pick(seeds).bytes
      const from = random.whole(0, other.length - 1)
      return Buffer.concat([bytes.subarray(0, at), other.subarray(from)]).subarray(0, MOST_BYTES)
    }
  }
}

/** Values that have a form and no sense, or too much of it. */
const VALUES = [
  '0',
  '-1',
  '-0',
  '1e999',
  '.inf',
  '-.inf',
  '.nan',
  '5e-324',
  '99999999999999999999',
  '0.5',
  '""',
  '~',
  '[]',
  '{}',
  'true',
  '2026-02-31',
  '0000-00-00',
  '"\\e[2J\\x9b\\u202e\\u061c\\n\\u2028"',
  '"constructor"',
  '"__proto__"',
]

/** Half of the time a few values of it are others; else text damaged as clips are, and by the letters that YAML lives on. */
export function mutateText(text: string, random: Random): Uint8Array {
  return random.chance(0.5) ? changeValues(text, random) : damageText(text, random)
}

function changeValues(text: string, random: Random): Uint8Array {
  let changed = text
  for (let k = random.whole(1, 4); k > 0; k--) {
    const places = [...changed.matchAll(/(?<=: )[^\s,{}[\]]+/g)]
    const { index, 0: old } = random.pick(places)
    changed = `${changed.slice(0, index)}${random.pick(VALUES)}${changed.slice(index + old.length)}`
  }
  return Buffer.from(changed)
}

function damageText(text: string, random: Random): Uint8Array {
  let bytes: Buffer = Buffer.from(text)
  for (let k = random.whole(1, 6); k > 0 && bytes.length > 0; k--) {
    const at = random.whole(0, bytes.length - 1)
    const marks = [
      ': ',
      '- ',
      '\n',
      '"',
      '&a ',
      '*a',
      '{',
      '[',
      '\t',
      '#',
      '!!binary ',
      '\u001b[31m',
      '\0',
      '9e999',
      '.inf',
      '-.inf',
      '.nan',
      '2026-02-31',
      '\u202e',
      '\u061c',
      '\u2028',
      '"\\e[2J\\x9b"',
      '['.repeat(2_000),
      '- '.repeat(2_000),
    ]
    bytes = random.chance(0.5)
      ? damage(bytes, [{ ending: 'yaml', bytes: Buffer.from(text) }], random)
      : Buffer.concat([bytes.subarray(0, at), Buffer.from(random.pick(marks)), bytes.subarray(at)])
  }
  return bytes
}

/** WAV files whose header lies, all of them. */
export function lyingWavs(): Seed[] {
  const sound = Float32Array.from({ length: 8_000 }, (_, i) => Math.sin(i / 20))
  const lies: WavRecipe[] = [
    ...[0, 1, 100, 3_999, 4_000, 384_000, 384_001, 4_000_000_000].map((rateHz) => ({ rateHz })),
    ...[0, 2, 3, 64, 65, 65_535].map((channels) => ({ channels })),
    ...[0, 1, 3, 12, 33, 64, 65_535].map((statedBits) => ({ statedBits })),
    ...[0, 1, 0x7fffffff, 0xfffffffe, 0xffffffff].map((dataSize) => ({ dataSize })),
    ...[0, 1, 2 ** 40, 2 ** 52].map((longDataSize) => ({
      magic: 'RF64',
      dataSize: 0xffffffff,
      longDataSize,
    })),
    ...[0, 1, 65_535].map((blockBytes) => ({ blockBytes })),
    ...[0, 2, 14, 15].map((formatBytes) => ({ formatBytes })),
  ]
  const odd = [Number.NaN, Infinity, -Infinity, 1e30, 3.4e38]
  const floats = odd.flatMap((value) =>
    [1, 1_000].map((every) =>
      makeWav([sound.map((x, i) => (i % every === 0 ? value : x))], { rateHz: 8_000, tag: 3, bits: 32 }),
    ),
  )
  const wavs = [...lies.map((lie) => makeWav([sound], { rateHz: 8_000, ...lie })), ...floats]
  return wavs.map((bytes) => ({ ending: 'wav', bytes }))
}
