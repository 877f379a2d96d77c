import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'

/** The weights of the ear, whose makers of sounds are credited wherever it goes. */
const WEIGHTS = /packages\/core\/\w+\/ear\/weights\.\w+$/

/**
 * The licences of the libraries in a bundle, as their authors ask for in copies, and the credits of the ear's sounds.
 *
 * @param inputs files in it, by path from `root`
 */
export function licencesOf(inputs: Readonly<Record<string, unknown>>, root: string): string {
  const folders = new Set(
    Object.keys(inputs).flatMap((path) => /^.*node_modules\/(?:@[^/]+\/)?[^/]+/.exec(path) ?? []),
  )
  const credits = Object.keys(inputs).some((path) => WEIGHTS.test(path))
    ? [readFileSync(join(root, 'packages/core/CREDITS.md'), 'utf8')]
    : []
  return [...[...folders].sort().map((folder) => licenceOf(join(root, folder))), ...credits].join('\n\n')
}

function licenceOf(folder: string): string {
  const { name, version, license, author } = JSON.parse(
    readFileSync(join(folder, 'package.json'), 'utf8'),
  ) as {
    name: string
    version: string
    license?: string
    author?: string | { name: string }
  }
  const by = typeof author === 'object' ? author.name : author
  const file = existsSync(folder)
    ? readdirSync(folder).find((entry) => /^licen[cs]e/i.test(entry))
    : undefined
  const text = file
    ? readFileSync(join(folder, file), 'utf8').trim()
    : `Licence: ${license}${by ? `, by ${by}` : ''}`
  return `${name} ${version}\n\n${text}\n`
}
