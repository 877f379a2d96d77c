export type { ByteFile } from './byteFile.js'
export { toRecording } from './downmix.js'
export { checkDecoded } from './gate.js'
export { decodeWav, isWav, type OpenWav, openWav } from './wav.js'
