/** Writes `check.schema.json` and `log.schema.json` in `packages/cli/schema/` from what the program reads by: `npx tsx scripts/makeSchemas.ts`. */
import { writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { toJsonSchema } from '@valibot/to-json-schema'
import { CHECK_SCHEMA_VERSION } from '../packages/cli/src/grade/types.js'
import { CHECK_PARTS, CHECK_SCHEMA, OPEN_CODES } from '../packages/cli/src/render/checkSchema.js'
import { LOG_SCHEMA } from '../packages/core/src/tuning/index.js'

/** JSON Schemas by the names of their files. */
export const SCHEMAS = { check: makeCheckSchema, log: makeLogSchema }

/** The answer of `check`. The program itself takes no field or code it does not know; others have to, as more may come. */
function makeCheckSchema(): string {
  const schema = toJsonSchema(CHECK_SCHEMA, {
    target: 'draft-2020-12',
    definitions: CHECK_PARTS,
    overrideSchema: ({ valibotSchema }) =>
      OPEN_CODES.some((codes) => codes === valibotSchema)
        ? { type: 'string', pattern: '^[a-z-]+$' }
        : undefined,
  })
  const head = {
    $id: `urn:everyrev:schema:check:${CHECK_SCHEMA_VERSION}`,
    title: 'everyrev check --json',
    description:
      'How often a small two-stroke in a clip skips a turn. Fields may be added within a schema version; none changes its meaning or goes away.',
  }
  return textOf({ ...head, ...schema }, (key, value) => (key === 'additionalProperties' ? undefined : value))
}

/** The tuning log. What the library checks beyond it (numbers of trials, closing line) is left out. */
function makeLogSchema(): string {
  return textOf(toJsonSchema(LOG_SCHEMA, { target: 'draft-2020-12', errorMode: 'ignore' }))
}

function textOf(schema: object, replacer?: (key: string, value: unknown) => unknown): string {
  return `${JSON.stringify({ $schema: 'https://json-schema.org/draft/2020-12/schema', ...schema }, replacer, 2)}\n`
}

if (process.argv[1] === fileURLToPath(import.meta.url))
  for (const [name, make] of Object.entries(SCHEMAS))
    writeFileSync(new URL(`../packages/cli/schema/${name}.schema.json`, import.meta.url), make())
