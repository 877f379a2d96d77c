/** Writes what lies in `packages/cli/schema/` from the forms of the answers and of the log: `npx tsx scripts/makeSchemas.ts`. */
import { writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { toJsonSchema } from '@valibot/to-json-schema'
import type { GenericSchema } from 'valibot'
import { CHECK_SCHEMA_VERSION } from '../packages/cli/src/grade/types.js'
import { BENCH_SCHEMA_VERSION } from '../packages/cli/src/render/benchJson.js'
import { CHECK_PARTS, CHECK_SCHEMA, OPEN_CODES } from '../packages/cli/src/render/checkSchema.js'
import { COMPARE_SCHEMA_VERSION } from '../packages/cli/src/render/compareJson.js'
import { COMPARE_PARTS, COMPARE_SCHEMA } from '../packages/cli/src/render/compareSchema.js'
import { GRADE_PARTS, GRADE_SCHEMA } from '../packages/cli/src/render/gradeSchema.js'
import { BENCH_SCHEMA } from '../packages/cli/src/sums/benchSchema.js'
import { LOG_SCHEMA } from '../packages/core/src/tuning/index.js'

/** JSON Schemas by the names of their files. */
export const SCHEMAS = {
  check: () =>
    answerSchema(
      'check',
      CHECK_SCHEMA_VERSION,
      CHECK_SCHEMA,
      CHECK_PARTS,
      'How often a small two-stroke in a clip skips a turn.',
    ),
  compare: () =>
    answerSchema(
      'compare',
      COMPARE_SCHEMA_VERSION,
      COMPARE_SCHEMA,
      COMPARE_PARTS,
      'Whether a change of a small two-stroke helped. Changes are after minus before.',
    ),
  grade: () =>
    answerSchema(
      'grade',
      CHECK_SCHEMA_VERSION,
      GRADE_SCHEMA,
      GRADE_PARTS,
      'One line of the output: a clip with what check says of it and its grade, a file that could not be read, or, with --group-by and after all clips, a group.',
    ),
  bench: () => answerSchema('bench', BENCH_SCHEMA_VERSION, BENCH_SCHEMA, {}, 'A sum at the workbench.'),
  log: logSchema,
}

/**
 * What a command prints with `--json`. The forms themselves take no field or code they do not know; others have to, as more
 * may come.
 */
function answerSchema(
  command: string,
  version: number,
  form: GenericSchema,
  parts: Readonly<Record<string, GenericSchema>>,
  description: string,
): string {
  const schema = toJsonSchema(form, {
    target: 'draft-2020-12',
    definitions: parts,
    overrideSchema({ valibotSchema, jsonSchema, definitions }) {
      if (OPEN_CODES.some((codes) => codes === valibotSchema)) return { type: 'string', pattern: '^[a-z-]+$' }
      // Parts that take no field they do not know cannot fit at once.
      if (valibotSchema.type === 'union') return { oneOf: jsonSchema.anyOf! }
      // A part with words of its own, which the converter would spell out.
      const name = Object.keys(parts).find((key) => bareForm(parts[key]!) === valibotSchema)
      return name && name in definitions ? { $ref: `#/$defs/${name}` } : undefined
    },
  })
  const head = {
    $id: `urn:everyrev:schema:${command}:${version}`,
    title: `everyrev ${command} --json`,
    description: `${description} Fields may be added within a schema version; none changes its meaning or goes away.`,
  }
  return textOf({ ...head, ...schema }, (key, value) => (key === 'additionalProperties' ? undefined : value))
}

/** The form without what was said of it. */
function bareForm(form: GenericSchema): unknown {
  return 'pipe' in form ? (form.pipe as readonly unknown[])[0] : form
}

/** The tuning log. What the library checks beyond it (numbers of trials, closing line) is left out. */
function logSchema(): string {
  return textOf(toJsonSchema(LOG_SCHEMA, { target: 'draft-2020-12', errorMode: 'ignore' }))
}

function textOf(schema: object, replacer?: (key: string, value: unknown) => unknown): string {
  return `${JSON.stringify({ $schema: 'https://json-schema.org/draft/2020-12/schema', ...schema }, replacer, 2)}\n`
}

if (process.argv[1] === fileURLToPath(import.meta.url))
  for (const [name, make] of Object.entries(SCHEMAS))
    writeFileSync(new URL(`../packages/cli/schema/${name}.schema.json`, import.meta.url), make())
