/** Options of `bench` that a tuning log may know, without their dashes. */
export const LOG_OPTIONS = [
  'bore',
  'stroke',
  'rod',
  'shaft',
  'key-width',
  'rotation',
  'flywheel',
  'primary',
  'engine-sprocket',
  'wheel-sprocket',
  'wheel',
  'slip',
  'limit',
  'already',
  'squish',
  'jet',
] as const
