/** Longest sound of a clip listened to in the page, seconds: ten minutes of 48 kHz stereo are 230 MB on the way in. */
export const MAX_CLIP_S = 600

/** Longest recording, seconds: 29 MB of 16-bit sound at 48 kHz. A comparison is best served by clips of 20 to 60 s. */
export const MAX_RECORDING_S = 300

/** Largest compressed file decoded where its length cannot be told beforehand, bytes. */
export const MAX_UNKNOWN_BYTES = 32e6

/** Largest sound kept to be heard again after a reload, bytes: ten minutes of 48 kHz WAV, mono, 16 bits. Chosen. */
export const MAX_KEPT_BYTES = 60e6

/** Slices of the strip: as many as give each some two pixels and a half on a narrow phone. */
export const STRIP_COLUMNS = 120

/** Slices of the strip of a recording as it grows. */
export const LIVE_COLUMNS = 60

/** The last seconds that are heard every now and then while a recording runs. */
export const LATELY_S = 10

/** The last seconds that are heard less often, for what more would settle: more narrows an interval little and costs a phone's battery. */
export const WHOLE_S = 60
