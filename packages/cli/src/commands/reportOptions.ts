import { InvalidArgumentError, Option } from 'commander'
import type { Taken } from '../io/placeForFile.js'
import type { ReportFiles, ReportWriter } from '../report/save.js'

export const htmlOption = (): Option =>
  new Option('--html <file>', 'also write a page to look at and listen to').argParser(parseName)
export const svgOption = (): Option =>
  new Option('--svg <file>', 'also write the main plot as SVG').argParser(parseName)
export const pngOption = (): Option =>
  new Option('--png <file>', 'also write the main plot as PNG').argParser(parseName)

function parseName(text: string): string {
  if (text === '-' || text === '') throw new InvalidArgumentError('Name a file, as in ride.html.')
  return text
}

/**
 * Finds where the files of a report go, before the work begins; null, with nothing loaded, when none is asked for.
 *
 * @param taken files that none of them may be
 */
export async function openReport(
  { html, svg, png }: ReportFiles,
  taken: readonly Taken[] = [],
): Promise<ReportWriter | null> {
  if (html === undefined && svg === undefined && png === undefined) return null
  const { reportWriter } = await import('../report/save.js')
  const files = {
    ...(html !== undefined && { html }),
    ...(svg !== undefined && { svg }),
    ...(png !== undefined && { png }),
  }
  return reportWriter(files, taken)
}
