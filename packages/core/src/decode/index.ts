export { toRecording } from './downmix.js'
export { decodeWav, isWav } from './wav.js'
