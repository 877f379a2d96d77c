import { dirname, relative, sep } from 'node:path'
import { holds } from '../../io/holds.js'
import { placeBeside } from '../reportOptions.js'

/**
 * Pages that `check --html` has left beside clips, as addresses from another page.
 *
 * @param files clips
 * @param page  path of the other page
 * @returns by clip; none for those without
 */
export async function clipPages(
  files: readonly string[],
  page: string,
): Promise<ReadonlyMap<string, string>> {
  const found = await Promise.all(
    files.map(async (file) => {
      const place = `${placeBeside(file)}.html`
      if ((await holds(place).catch(() => null))?.kind !== 'own') return []
      const way = relative(dirname(page), place).split(sep).map(encodeURIComponent).join('/')
      return [[file, way] as const]
    }),
  )
  return new Map(found.flat())
}
