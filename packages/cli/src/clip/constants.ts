/** Bytes from the start of a clip that tell its format; enough to pass a small picture in front of an MP3. */
export const HEAD_BYTES = 65_536

/** Longest sound listened to, seconds: four hours. Listening is bounded in memory, but the list of turns grows with it. */
export const MAX_DURATION_S = 14_400

/** Speeds a small two-stroke can run at, rpm: slower than any idle to faster than any saw. Chosen; what `analyze` takes. */
export const SLOWEST_RPM = 600
export const FASTEST_RPM = 20_000
