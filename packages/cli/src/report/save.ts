import { type Keeping, type Place, placeForFile } from '../io/placeForFile.js'
import { type Output, writeFiles, writtenText } from '../io/writeFiles.js'
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
  /** Where they go. */
  readonly places: readonly Place[]
  /** The files as {@link writeFiles} takes them, those of `places` that pass. */
  outputs(makers: ReportMakers, passes?: (place: Place) => boolean): Output[]
  /** Writes all of them, and says so on standard error. @throws {FileError} as {@link writeFiles} */
  write(makers: ReportMakers): Promise<void>
}

/**
 * Finds the places of the files before the work begins.
 *
 * @param keeping what they have to keep clear of
 * @returns null when no file is asked for
 * @throws {FileError} when one cannot be written there
 */
export async function reportWriter(
  files: ReportFiles,
  { taken = [], force = false }: Keeping = {},
): Promise<ReportWriter | null> {
  const named = Object.entries(files) as [keyof ReportFiles, string][]
  const places = new Map<keyof ReportFiles, Place>()
  const others = [...taken]
  for (const [kind, name] of named) {
    const place = await placeForFile(name, { taken: others, force })
    places.set(kind, place)
    others.push({ path: place.path, is: `--${kind}` })
  }
  if (places.size === 0) return null
  const outputs: ReportWriter['outputs'] = ({ page, picture }, passes = () => true) => {
    let drawn: Promise<string> | undefined
    const draw = () => {
      drawn ??= picture()
      return drawn
    }
    const makers: Record<keyof ReportFiles, (name: string) => Promise<string | Uint8Array>> = {
      html: async () => htmlDocument(await page()),
      svg: draw,
      png: async (name) => (await import('./png.js')).toPng(await draw(), name),
    }
    return [...places]
      .filter(([, place]) => passes(place))
      .map(([kind, place]) => ({ place, make: () => makers[kind](place.name) }))
  }
  return {
    places: [...places.values()],
    outputs,
    async write(makers) {
      process.stderr.write(writtenText(await writeFiles(outputs(makers))))
    },
  }
}
