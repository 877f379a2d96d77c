/** What the page's own words are; everything the command line says too comes from render/. */

/** How the page is told the speed, where a sentence says what settles it. */
export const SETTLES = 'the crank speed under “What you know”'

export const PRIVACY =
  'Nothing you pick or record leaves this device: the page may not use the network at all.'

/** The same where the page was installed. */
export const PRIVACY_INSTALLED =
  'Nothing you pick or record leaves this device: all the page may fetch is its own newer version.'

/** Whether the browser promised to keep what the page stores. */
export const KEPT =
  'This browser has promised to keep clips and logs until you remove them or clear its data.'
export const KEPT_WHILE_ROOM =
  'This browser may clear clips and logs when the device runs short of space: export the log after every ride.'

/** What the browser was asked to switch off, in words a rider knows. */
export const PROCESSING = {
  autoGainControl: 'automatic level',
  echoCancellation: 'echo cancelling',
  noiseSuppression: 'noise suppression',
  voiceIsolation: 'voice isolation',
} as const
export type Processing = keyof typeof PROCESSING

/** Stands where the share of skipped turns cannot be told. */
export const NO_FIGURE = 'No figure'
