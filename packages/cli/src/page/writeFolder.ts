import { mkdir, readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { FileError } from '../exit.js'
import { placeForFile } from '../io/placeForFile.js'
import { refusedFile } from '../io/refusedFile.js'
import { writeError } from '../io/writeError.js'
import { writeFiles } from '../io/writeFiles.js'
import type { PageFile } from './installable.js'

/**
 * Writes the files of the page into a folder, made where it is missing; an older page there is replaced.
 *
 * @param force write also over files that are no page
 * @throws {FileError} where the folder cannot be made, or holds the page of something else
 */
export async function writePageFolder(
  folder: string,
  files: readonly PageFile[],
  force: boolean,
): Promise<void> {
  await mkdir(folder).catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'EEXIST') return
    if (error.code === 'ENOENT')
      throw refusedFile(
        folder,
        'the folder for it does not exist',
        'make the folder first, or choose another',
      )
    throw new FileError(folder, writeError(error))
  })
  const former = await readFile(join(folder, 'index.html'), 'utf8').catch(() => null)
  if (former !== null && !former.includes('<title>everyrev'))
    throw refusedFile(folder, 'holds an index.html of something else', 'choose an empty folder')
  const places = await Promise.all(
    files.map(({ name }) => placeForFile(join(folder, name), { force: force || former !== null })),
  )
  // The script that keeps the page comes last: a browser that looks meanwhile finds the former version whole.
  await writeFiles(files.map(({ content }, k) => ({ place: places[k]!, make: () => content })))
}
