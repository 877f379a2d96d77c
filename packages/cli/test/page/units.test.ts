import { createRequire } from 'node:module'
import { describe, expect, it } from 'vitest'
import { unitsOf } from '../../src/page/browser/units.js'

/**
 * Unit preferences of the Common Locale Data Repository 48 (package cldr-core 48.2.0, Unicode licence): by use, the units of
 * each region that differs from `001`, the world.
 */
const { supplemental } = createRequire(import.meta.url)('cldr-core/supplemental/unitPreferenceData.json') as {
  supplemental: {
    unitPreferenceData: Record<
      'temperature' | 'speed',
      Record<string, Record<string, readonly { readonly unit: string }[]>>
    >
  }
}
const WEATHER = supplemental.unitPreferenceData.temperature.weather!
const SPEED = supplemental.unitPreferenceData.speed.default!
const SYMBOLS: Readonly<Record<string, string>> = {
  celsius: '°C',
  fahrenheit: '°F',
  'kilometer-per-hour': 'km/h',
  'mile-per-hour': 'mph',
}
const ELSEWHERE = ['DE', 'FR', 'IN', 'VN', 'LR', 'CA', 'AU']
const unitIn = (preferences: typeof SPEED, region: string) =>
  SYMBOLS[(preferences[region] ?? preferences['001'])![0]!.unit]

describe('units of air and of roads are those of the Common Locale Data Repository', () => {
  const regions = new Set([...Object.keys(WEATHER), ...Object.keys(SPEED), ...ELSEWHERE])
  it.each([...regions].filter((region) => region !== '001'))('in %s', (region) => {
    expect(unitsOf(`en-${region}`)).toEqual({
      temperature: unitIn(WEATHER, region),
      speed: unitIn(SPEED, region),
    })
  })
  it('and those of the world where the language says no region', () => {
    expect(unitsOf('fr')).toEqual({ temperature: unitIn(WEATHER, '001'), speed: unitIn(SPEED, '001') })
    expect(unitsOf('zh-Hans-CN')).toEqual({ temperature: unitIn(WEATHER, 'CN'), speed: unitIn(SPEED, 'CN') })
  })
})
