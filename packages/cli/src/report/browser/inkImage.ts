/** A colour as red, green and blue, each 0 to 255. */
type Colour = readonly number[]

/**
 * A picture with a pixel for each number: paper at 0, ink at 1.
 *
 * @param shares  columns · rows, column by column, each from the bottom up; beyond 0 and 1 they are cut off
 * @param colours paper and ink
 */
export function inkImage(
  shares: Float32Array,
  columns: number,
  rows: number,
  [paper, ink]: readonly [Colour, Colour],
): HTMLCanvasElement {
  const canvas = document.createElement('canvas')
  canvas.width = columns
  canvas.height = rows
  const context = canvas.getContext('2d')!
  const image = context.createImageData(columns, rows)
  for (let c = 0; c < columns; c++) {
    for (let r = 0; r < rows; r++) {
      const share = Math.min(1, Math.max(0, shares[c * rows + r]!))
      const at = 4 * ((rows - 1 - r) * columns + c)
      for (let k = 0; k < 3; k++) image.data[at + k] = paper[k]! + share * (ink[k]! - paper[k]!)
      image.data[at + 3] = 255
    }
  }
  context.putImageData(image, 0, 0)
  return canvas
}
