/** Writes `packages/cli/schema/log.schema.json` from the schema the library reads logs by: `npx tsx scripts/makeLogSchema.ts`. */
import { writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { toJsonSchema } from '@valibot/to-json-schema'
import { LOG_SCHEMA } from '../packages/core/src/tuning/index.js'

/** The tuning log as JSON Schema 2020-12. What the library checks beyond it (numbers of trials, closing line) is left out. */
export function makeLogSchema(): string {
  const schema = toJsonSchema(LOG_SCHEMA, { target: 'draft-2020-12', errorMode: 'ignore' })
  return `${JSON.stringify({ $schema: 'https://json-schema.org/draft/2020-12/schema', ...schema }, null, 2)}\n`
}

if (process.argv[1] === fileURLToPath(import.meta.url))
  writeFileSync(new URL('../packages/cli/schema/log.schema.json', import.meta.url), makeLogSchema())
