import type { QuantityKind } from './types.js'

/** Base value = `factor` × number + `offset`. */
export interface Unit {
  readonly factor: number
  readonly offset?: number
}

/** Published: NIST Special Publication 811, appendix B. */
const MM_PER_INCH = 25.4
const KMH_PER_MPH = 1.609344
const ML_PER_US_GALLON = 3785.411784
const ML_PER_IMPERIAL_GALLON = 4546.09

/** A unit under all names people write it by. */
function named(names: string, factor: number, offset = 0): [string, Unit][] {
  return names.split('|').map((name) => [name, { factor, offset }])
}

const PLAIN = named('', 1)

/**
 * Units by kind and name, names in lower case and without blanks. Factors are exact by definition: the inch, the mile
 * and the gallons by NIST SP 811 (2008), appendix B.
 */
export const UNITS: Readonly<Record<QuantityKind, ReadonlyMap<string, Unit>>> = {
  length: new Map([
    ...named('mm|millimetre|millimetres|millimeter|millimeters', 1),
    ...named('cm', 10),
    ...named('m|metre|metres|meter|meters', 1000),
    ...named(`in|inch|inches|"|″|''`, MM_PER_INCH),
    ...named('thou', MM_PER_INCH / 1000),
    ...named('ft|feet', 12 * MM_PER_INCH),
  ]),
  angle: new Map([...PLAIN, ...named('°|deg|degs|degree|degrees|°btdc|degbtdc|°beforetdc|degbeforetdc', 1)]),
  temperature: new Map([
    ...named('°c|ºc|c|degc|℃', 1),
    ...named('°f|ºf|f|degf|℉', 5 / 9, -160 / 9),
    ...named('k|kelvin', 1, -273.15),
  ]),
  speed: new Map([...named('km/h|kmh|kph|kmph', 1), ...named('mph|mi/h', KMH_PER_MPH), ...named('m/s', 3.6)]),
  volume: new Map([
    ...named('ml|cc|ccm|cm3|cm³', 1),
    ...named('cl', 10),
    ...named('dl', 100),
    ...named('l|litre|litres|liter|liters', 1000),
    ...named('floz|oz|usfloz', ML_PER_US_GALLON / 128),
    ...named('gal|usgal|gallon|gallons', ML_PER_US_GALLON),
    ...named('qt|usqt|quart|quarts', ML_PER_US_GALLON / 4),
    ...named('pt|uspt|pint|pints', ML_PER_US_GALLON / 8),
    ...named('impgal|ukgal', ML_PER_IMPERIAL_GALLON),
    ...named('impqt|ukqt', ML_PER_IMPERIAL_GALLON / 4),
    ...named('imppt|ukpt', ML_PER_IMPERIAL_GALLON / 8),
    ...named('impfloz|ukfloz|impoz|ukoz', ML_PER_IMPERIAL_GALLON / 160),
  ]),
  rpm: new Map([...PLAIN, ...named('rpm|/min|1/min', 1)]),
  ratio: new Map([...PLAIN, ...named(':1', 1)]),
  number: new Map(PLAIN),
}

/** How to write a quantity of each kind, for refusals. */
export const EXAMPLES: Readonly<Record<QuantityKind, string>> = {
  length: '1.2mm or 0.047in',
  angle: '22deg',
  temperature: '176°C or 350°F',
  speed: '25km/h or 15mph',
  volume: '5l, 200ml, 1gal or 1qt (US; impgal, impqt, imppt for the others)',
  rpm: '4700rpm',
  ratio: '25:1',
  number: '44',
}
