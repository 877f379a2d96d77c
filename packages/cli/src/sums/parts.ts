/** One part of `bench`: its options and a worked example, which a test runs. */
export interface Part {
  readonly name: string
  readonly summary: string
  readonly description: string
  readonly options: readonly (readonly [flags: string, what: string])[]
  /** Arguments of the example, and the figures it prints. */
  readonly example: string
  readonly answer: string
  /** What a tuning log can fill in, in words; absent where nothing. */
  readonly fromLog?: string
}

export const PARTS: readonly Part[] = [
  {
    name: 'key',
    summary: 'shaved flywheel key and degrees of spark timing',
    description:
      'How far the spark moves when so much is off the flywheel key, or how much to take off for so many degrees, and which face to shave.',
    options: [
      ['--shaft <length>', 'diameter of the shaft at the key (mean of the taper)'],
      ['--shave <length>', 'taken off one face of the key'],
      ['--degrees <angle>', 'or: how far the spark should move'],
      ['--already <length>', 'or beside: off the key already, as in "0.5mm later"'],
      ['--spark <way>', 'later or earlier (retard or advance)'],
      ['--rotation <way>', 'clockwise or anticlockwise (cw, ccw), seen from the flywheel side'],
      ['--used <percent>', 'how much of the freed play is used (default: 100%)'],
      ['--key-width <length>', 'width of the key: more cannot come off'],
      ['--proud <length>', 'how far the key stands out of the shaft at its middle; needs --key-width'],
      ['--key-depth <length>', 'how deep the key reaches into the shaft'],
    ],
    example: 'key --shaft 15±0.2mm --shave 1±0.05mm --spark later --rotation clockwise',
    answer: `off the key                 1.00 mm ± 0.05 mm (0.039 in)
spark moves, all play used  7.6° ± 0.4°
shaft                       15.00 mm ± 0.20 mm (0.591 in)`,
    fromLog: 'shaft, key, rotation and what is off already',
  },
  {
    name: 'rim',
    summary: 'a mark on the rim of the flywheel and degrees of crank',
    description:
      'How many degrees a mark on the rim of the flywheel has moved, or how far it has to move: the check on a shaved key.',
    options: [
      ['--flywheel <length>', 'diameter of the rim'],
      ['--mark <length>', 'how far the mark moves along the rim'],
      ['--degrees <angle>', 'or: degrees of crank'],
    ],
    example: 'rim --flywheel 90±1mm --mark 5±0.5mm',
    answer: `mark moves     5.0 mm ± 0.5 mm (0.197 in)
crank          6.4° ± 0.7°
flywheel       90.0 mm ± 1.0 mm (3.543 in)
one degree is  0.79 mm ± 0.01 mm (0.031 in)`,
    fromLog: 'the flywheel',
  },
  {
    name: 'timing',
    summary: 'degrees of crank and piston below top dead centre',
    description: 'Degrees before top dead centre to piston position, and back.',
    options: [
      ['--stroke <length>', 'stroke'],
      ['--rod <length>', 'connecting rod, between the centres of its eyes'],
      ['--degrees <angle>', 'crank before top dead centre'],
      ['--piston <length>', 'or: piston below top dead centre'],
    ],
    fromLog: 'stroke and rod',
    example: 'timing --stroke 40mm --rod 85±1mm --degrees 22±1',
    answer: `crank, from top dead centre  22.0° ± 1.0°
piston below the top         1.79 mm ± 0.16 mm (0.070 in)
one degree more is           0.16 mm ± 0.01 mm (0.006 in)`,
  },
  {
    name: 'squish',
    summary: 'gasket or shim, squish and compression ratio',
    description:
      'Squish and compression ratio, over the full stroke and from exhaust closing, now and with another gasket or shim.',
    options: [
      ['--bore <length>', 'bore'],
      ['--stroke <length>', 'stroke'],
      ['--squish <length>', 'narrowest gap between piston and head, measured with solder'],
      ['--chamber <volume>', 'volume above the piston at top dead centre, plug and gasket included'],
      ['--exhaust <length>', 'piston below the top when the exhaust closes; or degrees, with --rod'],
      ['--rod <length>', 'connecting rod, for --exhaust in degrees'],
      ['--gasket <length>', 'gasket or shim now'],
      ['--new-gasket <length>', 'gasket or shim then'],
      ['--want-squish <length>', 'or: squish wanted'],
      ['--want-ratio <ratio>', 'or: ratio wanted, from exhaust closing if that is given'],
      ['--under <place>', 'head, or base (under the cylinder, which moves the ports) (default: head)'],
    ],
    fromLog: 'bore, stroke, rod and squish',
    example:
      'squish --bore 47mm --stroke 40mm --squish 1.4±0.1mm --chamber 8.2±0.2cc --exhaust 25mm --gasket 1mm --new-gasket 0.5mm',
    answer: `squish now                       1.40 mm ± 0.10 mm (0.055 in)
ratio over the full stroke now   9.46:1 ± 0.21:1
ratio from exhaust closing now   6.29:1 ± 0.13:1
gasket then                      0.50 mm (0.020 in)
squish then                      0.90 mm ± 0.10 mm (0.035 in)
ratio over the full stroke then  10.46:1 ± 0.26:1
ratio from exhaust closing then  6.92:1 ± 0.17:1`,
  },
  {
    name: 'speed',
    summary: 'crank speed and road speed',
    description: 'Road speed at so many rpm through primary ratio, sprockets and wheel, and back.',
    options: [
      ['--primary <ratio>', 'turns of the crank for one of the engine sprocket, as in 4.1:1'],
      ['--engine-sprocket <teeth>', 'teeth of the engine sprocket'],
      ['--wheel-sprocket <teeth>', 'teeth of the wheel sprocket'],
      [
        '--wheel <size>',
        'tyre size by ISO 5775, as in 57-559, diameter, as in 26in, or measured roll-out, as in 2.06m',
      ],
      ['--slip <percent>', 'lost between clutch, tyre and road (default: 0%)'],
      ['--rpm <speed>', 'crank speed'],
      ['--road-speed <speed>', 'or: road speed'],
    ],
    fromLog: 'gearing, wheel and slip',
    example:
      'speed --primary 4.1:1 --engine-sprocket 10 --wheel-sprocket 44 --wheel 57-559 --road-speed 25±1km/h',
    answer: `crank                       3,555 rpm ± 152 rpm
road                        25.0 km/h ± 1.0 km/h (15.5 mph)
crank turns per wheel turn  18.04:1
roll-out                    2,114 mm ± 32 mm (83.2 in)`,
  },
  {
    name: 'premix',
    summary: 'fuel and oil',
    description: 'Oil for so much fuel, fuel for so much oil, or what to add to a mix for another ratio.',
    options: [
      ['--ratio <ratio>', 'fuel to oil wanted, as in 25:1'],
      ['--fuel <volume>', 'fuel, before the oil goes in'],
      ['--oil <volume>', 'or: oil'],
      ['--mix <volume>', 'or: mix in the tank, with --now'],
      ['--now <ratio>', 'fuel to oil in that mix'],
    ],
    example: 'premix --ratio 25:1 --fuel 5l',
    answer: `fuel   5,000 ml (169.1 US fl oz)
oil    200 ml (6.8 US fl oz)
mix    5,200 ml (175.8 US fl oz)
ratio  25:1`,
  },
  {
    name: 'jet',
    summary: 'another jet, and what air and height do to the mixture',
    description:
      'How much more or less fuel another jet gives, by its area; or how the mixture shifts with temperature and height, and the jet that keeps it.',
    options: [
      ['--jet <number>', 'jet now'],
      ['--new-jet <number>', 'jet then'],
      ['--air <temperature>', 'or: air now'],
      ['--air-then <temperature>', 'air then'],
      ['--height <length>', 'height above the sea now, as in 200m (default: 0m, but --height-then needs it)'],
      ['--height-then <length>', 'height then'],
    ],
    fromLog: 'the main jet',
    example: 'jet --jet 70 --new-jet 68',
    answer: `jet now                   70.0
jet then                  68.0
fuel through it, by area  -5.6 %`,
  },
  {
    name: 'heat',
    summary: 'head temperature and how much room it leaves',
    description:
      'How far the head is from its limit, and how many steps leaner on the needle clip that leaves room for: 3 at the most, whatever is left.',
    options: [
      ['--head <temperature>', 'head temperature, measured warm after a steady ride'],
      ['--limit <temperature>', 'the maker’s limit (default: 232 °C, 450 °F, common practice)'],
      ['--air <temperature>', 'air temperature on that ride'],
      [
        '--air-then <temperature>',
        'with --air: air on a hotter day to look ahead to; a colder day is no credit',
      ],
    ],
    fromLog: 'the limit',
    example: 'heat --head 176±3C --air 14C --air-then 30C',
    answer: `head                                176 °C ± 3 °C (349 °F)
head on that day, about             192 °C ± 3 °C (378 °F)
limit (common practice, no source)  232 °C (450 °F)
left to the limit                   40 °C ± 3 °C (72 °F)`,
  },
]
