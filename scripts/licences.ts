import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'

/**
 * The licences of the libraries in a bundle, as their authors ask for in copies.
 *
 * @param inputs files in it, by path from `root`
 */
export function licencesOf(inputs: Readonly<Record<string, unknown>>, root: string): string {
  const folders = new Set(
    Object.keys(inputs).flatMap((path) => /^.*node_modules\/(?:@[^/]+\/)?[^/]+/.exec(path) ?? []),
  )
  return [...folders]
    .sort()
    .map((folder) => licenceOf(join(root, folder)))
    .join('\n\n')
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
