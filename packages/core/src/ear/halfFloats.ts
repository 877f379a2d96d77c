/** 2¹¹²: what is between the smallest powers that 16 and 32 bits know. Derived. */
const RISE = 2 ** 112

/**
 * Numbers of finite 16-bit floats (IEEE 754 binary16).
 *
 * @param halves their bits, any length
 */
export function halfFloats(halves: Uint16Array): Float32Array {
  const bits = new Uint32Array(halves.length)
  // Sign, exponent and fraction to where 32-bit floats have them; the exponent then means another power.
  for (let k = 0; k < bits.length; k++)
    bits[k] = ((halves[k]! & 0x8000) << 16) | ((halves[k]! & 0x7fff) << 13)
  const floats = new Float32Array(bits.buffer)
  for (let k = 0; k < floats.length; k++) floats[k] = floats[k]! * RISE
  return floats
}
