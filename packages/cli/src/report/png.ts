import { crc32 } from 'node:zlib'
import { Resvg } from '@resvg/resvg-js'
import { PNG_SOFTWARE } from '../io/ownMarks.js'
import { refusedFile } from '../io/refusedFile.js'

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
    throw refusedFile(name, 'cannot be drawn: this system has no font', hint)
  }
  return signed(new Resvg(svg, options).render().asPng())
}

/** Signature and header of a PNG file, bytes. */
const HEADER_BYTES = 33

/** With the name of the program behind the header (PNG specification, third edition, 11.3.3.2: a tEXt chunk). */
function signed(png: Buffer): Buffer {
  const chunk = Buffer.from(`0000tEXt${PNG_SOFTWARE}0000`, 'latin1')
  const end = chunk.length - 4
  chunk.writeUInt32BE(end - 8, 0)
  chunk.writeUInt32BE(crc32(chunk.subarray(4, end)), end)
  return Buffer.concat([png.subarray(0, HEADER_BYTES), chunk, png.subarray(HEADER_BYTES)])
}

const LETTER =
  '<svg xmlns="http://www.w3.org/2000/svg" width="20" height="20"><text y="15" font-family="DejaVu Sans, Arial, sans-serif">M</text></svg>'
