/** Writes packages/cli/dist/everyrev.1, the manual page, from the definitions of the commands: a part of `npm run build`. */
import { readFileSync, writeFileSync } from 'node:fs'
import { definitionsOf } from '../packages/cli/src/definitions.js'
import { makeProgram } from '../packages/cli/src/program.js'
import { manual } from '../packages/cli/src/render/manual.js'

const cli = new URL('../packages/cli/', import.meta.url)
const { version } = JSON.parse(readFileSync(new URL('package.json', cli), 'utf8')) as { version: string }
const definitions = definitionsOf(await makeProgram(() => {}))
writeFileSync(new URL('dist/everyrev.1', cli), manual(definitions, version))
