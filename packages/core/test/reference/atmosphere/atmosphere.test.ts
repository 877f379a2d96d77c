import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { airDensity } from '../../../src/workshop/index.js'

/** Written by generate.py beside it, which says with what. */
const {
  atmosphere,
}: {
  readonly atmosphere: readonly {
    readonly heightM: number
    readonly temperatureK: number
    readonly pressurePa: number
    readonly densityKgM3: number
  }[]
} = JSON.parse(readFileSync(new URL('atmosphere.json', import.meta.url), 'utf8'))
const SEA = atmosphere.find(({ heightM }) => heightM === 0)!
const ZERO_K = 273.15

describe('density of the air is that of the standard atmosphere', () => {
  // The library takes heights above the ground, ISO 2533 heights of equal gravity: 3 m apart at 4,500 m.
  it.each(atmosphere)('at $heightM m', ({ heightM, temperatureK, densityKgM3 }) => {
    const density = airDensity({ temperatureC: temperatureK - ZERO_K, heightM })
    expect(Math.abs(density / (densityKgM3 / SEA.densityKgM3) - 1)).toBeLessThan(1e-3)
  })
  it.each(atmosphere)(
    'and of a gas of that pressure where it is warmer or colder, at $heightM m',
    ({ heightM, pressurePa }) => {
      for (const temperatureC of [-20, 0, 15, 40]) {
        const density = (pressurePa / SEA.pressurePa) * (SEA.temperatureK / (ZERO_K + temperatureC))
        expect(Math.abs(airDensity({ temperatureC, heightM }) / density - 1)).toBeLessThan(1e-3)
      }
    },
  )
})
