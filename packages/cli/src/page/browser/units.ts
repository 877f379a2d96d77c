import type { Units } from '../types.js'

/** Regions that measure air in °F, and those whose roads are marked in mph. Common Locale Data Repository 48, which the test holds it to. */
const FAHRENHEIT = ['US', 'BS', 'BZ', 'KY', 'PR', 'PW']
const MILES = ['US', 'GB']

/** Units people use where this language is spoken, as far as its tag (`en-GB`) says where. */
export function unitsOf(language: string): Units {
  const { region = '' } = new Intl.Locale(language)
  return {
    temperature: FAHRENHEIT.includes(region) ? '°F' : '°C',
    speed: MILES.includes(region) ? 'mph' : 'km/h',
  }
}
