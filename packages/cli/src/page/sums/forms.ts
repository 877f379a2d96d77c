/** A field of a sum: an option of `bench` in a rider's words. */
export interface SumField {
  /** Name of the option, as in `key-width`. */
  readonly option: string
  readonly label: string
  /** Units it may be written in, the usual one first; none for a plain number or words. */
  readonly units: readonly string[]
  readonly isNeeded: boolean
  readonly example?: string
  /** What it may be, where it is one word of a few. */
  readonly words?: readonly (readonly [word: string, text: string])[]
}

/** One way to ask: what is known, for what is wanted. */
export interface SumWay {
  readonly name: string
  readonly fields: readonly SumField[]
}

/** A part of `bench` as a form. */
export interface SumForm {
  /** Name of the part. */
  readonly part: string
  readonly title: string
  readonly ways: readonly SumWay[]
}

const LENGTH = ['mm', 'in'] as const
const HEIGHT = ['m', 'ft'] as const
const TEMPERATURE = ['°C', '°F'] as const
const SPEED = ['km/h', 'mph'] as const
const VOLUME = ['l', 'ml', 'US gal', 'US qt', 'US fl oz', 'imp gal', 'imp pt', 'imp fl oz'] as const
const RATIO = [':1'] as const

const field = (option: string, label: string, units: readonly string[], example?: string): SumField => ({
  option,
  label,
  units,
  isNeeded: true,
  ...(example !== undefined && { example }),
})
const extra = (...parts: Parameters<typeof field>): SumField => ({ ...field(...parts), isNeeded: false })

const SHAFT = field('shaft', 'Shaft at the key, across', LENGTH, '15')
const KEY_MORE: readonly SumField[] = [
  {
    ...extra('spark', 'The spark comes', []),
    words: [
      ['later', 'Later'],
      ['earlier', 'Earlier'],
    ],
  },
  {
    ...extra('rotation', 'It turns, seen from the flywheel', []),
    words: [
      ['clockwise', 'Clockwise'],
      ['anticlockwise', 'Anticlockwise'],
    ],
  },
  extra('key-width', 'Width of the key', LENGTH, '3'),
]
const GEARING: readonly SumField[] = [
  field('primary', 'Primary ratio, crank to engine sprocket', RATIO, '4.1'),
  field('engine-sprocket', 'Engine sprocket', ['teeth'], '10'),
  field('wheel-sprocket', 'Wheel sprocket', ['teeth'], '44'),
  field('wheel', 'Wheel: tyre size, diameter or roll-out', [], '57-559, 26in or 2.06m'),
  extra('slip', 'Lost to slip', ['%'], '2'),
]
const ROOM: readonly SumField[] = [
  field('bore', 'Bore', LENGTH, '47'),
  field('stroke', 'Stroke', LENGTH, '40'),
  field('squish', 'Squish, measured with solder', LENGTH, '1.3'),
  field('chamber', 'Volume above the piston at the top', ['ml'], '8.2'),
  extra('exhaust', 'Piston below the top when the exhaust closes', LENGTH, '25'),
]
const CRANK: readonly SumField[] = [
  field('stroke', 'Stroke', LENGTH, '40'),
  field('rod', 'Connecting rod, eye to eye', LENGTH, '85'),
]
const MIX = field('ratio', 'Fuel to oil wanted', RATIO, '25')
const JET = field('jet', 'Jet now', [], '70')
const GASKET: readonly SumField[] = [
  field('gasket', 'Gasket or shim now', LENGTH, '1'),
  {
    ...extra('under', 'It sits under the', []),
    words: [
      ['head', 'Head'],
      ['base', 'Cylinder'],
    ],
  },
]

/** All of `bench`, those for the road first. */
export const SUM_FORMS: readonly SumForm[] = [
  {
    part: 'premix',
    title: 'Fuel and oil',
    ways: [
      { name: 'Oil for fuel', fields: [MIX, field('fuel', 'Fuel', VOLUME, '5')] },
      { name: 'Fuel for oil', fields: [MIX, field('oil', 'Oil', ['ml', ...VOLUME], '100')] },
      {
        name: 'Correct a mix',
        fields: [
          MIX,
          field('mix', 'Mix in the tank', VOLUME, '3'),
          field('now', 'Fuel to oil in it now', RATIO, '50'),
        ],
      },
    ],
  },
  {
    part: 'jet',
    title: 'Jet, air and height',
    ways: [
      {
        name: 'Other air',
        fields: [
          JET,
          field('air', 'Air now', TEMPERATURE, '15'),
          field('air-then', 'Air then', TEMPERATURE, '30'),
          extra('height', 'Height above the sea now', HEIGHT, '200'),
          extra('height-then', 'Height then', HEIGHT, '1200'),
        ],
      },
      { name: 'Another jet', fields: [JET, field('new-jet', 'Jet then', [], '68')] },
    ],
  },
  {
    part: 'speed',
    title: 'Road speed and rpm',
    ways: [
      { name: 'Road speed', fields: [field('rpm', 'Crank speed', ['rpm'], '4700'), ...GEARING] },
      { name: 'Crank speed', fields: [field('road-speed', 'Road speed', SPEED, '25'), ...GEARING] },
    ],
  },
  {
    part: 'heat',
    title: 'Head temperature',
    ways: [
      {
        name: 'Room to the limit',
        fields: [
          field('head', 'Head, warm after a steady ride', TEMPERATURE, '176'),
          extra('limit', 'The maker’s limit', TEMPERATURE, '232'),
        ],
      },
      {
        name: 'On a hotter day',
        fields: [
          field('head', 'Head, warm after a steady ride', TEMPERATURE, '176'),
          field('air', 'Air on that ride', TEMPERATURE, '14'),
          field('air-then', 'Air on the day ahead', TEMPERATURE, '30'),
          extra('limit', 'The maker’s limit', TEMPERATURE, '232'),
        ],
      },
    ],
  },
  {
    part: 'key',
    title: 'Flywheel key',
    ways: [
      { name: 'Degrees', fields: [SHAFT, field('shave', 'Taken off one face', LENGTH, '1'), ...KEY_MORE] },
      {
        name: 'How much off',
        fields: [SHAFT, field('degrees', 'The spark should move', ['°'], '4'), ...KEY_MORE],
      },
      {
        name: 'What is left',
        fields: [
          SHAFT,
          field(
            'already',
            'Off the key already',
            ['mm later', 'mm earlier', 'in later', 'in earlier'],
            '0.5',
          ),
          ...KEY_MORE,
        ],
      },
    ],
  },
  {
    part: 'rim',
    title: 'Mark on the flywheel’s rim',
    ways: [
      {
        name: 'Degrees',
        fields: [
          field('flywheel', 'Flywheel, across', LENGTH, '90'),
          field('mark', 'The mark moved', LENGTH, '5'),
        ],
      },
      {
        name: 'Way of the mark',
        fields: [field('flywheel', 'Flywheel, across', LENGTH, '90'), field('degrees', 'Crank', ['°'], '4')],
      },
    ],
  },
  {
    part: 'timing',
    title: 'Piston and degrees',
    ways: [
      { name: 'Piston', fields: [field('degrees', 'Crank before the top', ['°'], '22'), ...CRANK] },
      { name: 'Degrees', fields: [field('piston', 'Piston below the top', LENGTH, '1.8'), ...CRANK] },
    ],
  },
  {
    part: 'squish',
    title: 'Squish and compression',
    ways: [
      { name: 'As it is', fields: ROOM },
      {
        name: 'Other gasket',
        fields: [...ROOM, ...GASKET, field('new-gasket', 'Gasket or shim then', LENGTH, '0.5')],
      },
      {
        name: 'For a squish',
        fields: [...ROOM, ...GASKET, field('want-squish', 'Squish wanted', LENGTH, '0.9')],
      },
      { name: 'For a ratio', fields: [...ROOM, ...GASKET, field('want-ratio', 'Ratio wanted', RATIO, '10')] },
    ],
  },
]
