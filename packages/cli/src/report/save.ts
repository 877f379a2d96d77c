import { writeAtomically } from '../io/atomicFile.js'
import { placeForFile } from '../io/placeForFile.js'
import { htmlDocument, type PageParts } from '../web/document.js'

/** Where a command was asked to write a page or picture. */
export interface ReportFiles {
  readonly html?: string
  readonly svg?: string
  readonly png?: string
}

/** What there is to write, made only when it is asked for. */
export interface ReportMakers {
  readonly page: () => Promise<PageParts> | PageParts
  /** The main plot, a whole SVG file. */
  readonly picture: () => Promise<string>
}

/** Puts a report into files. */
export interface ReportWriter {
  write(makers: ReportMakers): Promise<void>
}

/**
 * Finds the places of the files before the work begins.
 *
 * @returns null when no file is asked for
 * @throws {FileError} when one cannot be written there
 */
export async function reportWriter(files: ReportFiles): Promise<ReportWriter | null> {
  const { html, svg, png } = files
  if (html === undefined && svg === undefined && png === undefined) return null
  const place = async (name: string | undefined) => (name === undefined ? null : placeForFile(name))
  const [htmlPath, svgPath, pngPath] = [await place(html), await place(svg), await place(png)]
  return {
    async write({ page, picture }) {
      if (htmlPath) await writeAtomically(htmlPath, await htmlDocument(await page()))
      if (!svgPath && !pngPath) return
      const drawn = await picture()
      if (svgPath) await writeAtomically(svgPath, drawn)
      if (pngPath) {
        const { toPng } = await import('./png.js')
        await writeAtomically(pngPath, toPng(drawn, png!))
      }
    },
  }
}
