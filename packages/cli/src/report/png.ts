import { InputError } from '@everyrev/core'
import { Resvg } from '@resvg/resvg-js'
import { FileError } from '../exit.js'

/** Dots a unit of the picture: sharp on a phone and on paper. */
const SCALE = 2

/**
 * An SVG file as a PNG file, with a font of the system.
 *
 * @param name the file it is for, named when it cannot be made
 */
export function toPng(svg: string, name: string): Uint8Array {
  const options = { fitTo: { mode: 'zoom', value: SCALE }, font: { loadSystemFonts: true } } as const
  // Without any font the words would be left out in silence.
  if (!new Resvg(LETTER, options).getBBox()) {
    const hint = 'install one, DejaVu Sans say, or use --svg'
    throw new FileError(name, new InputError('unreadable', 'cannot be drawn: this system has no font', hint))
  }
  return new Resvg(svg, options).render().asPng()
}

const LETTER =
  '<svg xmlns="http://www.w3.org/2000/svg" width="20" height="20"><text y="15" font-family="DejaVu Sans, Arial, sans-serif">M</text></svg>'
