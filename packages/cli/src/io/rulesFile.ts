import { readFile } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { parseRules, type Rules } from '@everyrev/core/tuning'
import { FileError } from '../exit.js'
import { checkSmallFile } from './regularFile.js'

/**
 * Reads rules of `next`.
 *
 * @param file the person's own; the built-in ones where left out
 * @throws {FileError} naming the file, for one that does not read or holds a rule that cannot be followed
 */
export async function readRulesFile(file = builtInRules()): Promise<Rules> {
  try {
    await checkSmallFile(file)
    return parseRules(await readFile(file, 'utf8'))
  } catch (error) {
    throw new FileError(file, error)
  }
}

function builtInRules(): string {
  return createRequire(import.meta.url).resolve('@everyrev/core/rules/next.yaml')
}
