/** The memory of the plain kernels, as they see it. */
export interface PlainMemory {
  floats: Float32Array
  doubles: Float64Array
  shorts: Int16Array
}

/** 1.5 · 2⁵²: added to a number within ±2⁵¹, it leaves no room for a broken part. Derived. */
const MAGIC = 6755399441055744
/** The nearest integer, of two as near the even one. */
export function roundEven(x: number): number {
  return x + MAGIC - MAGIC
}
