import { readFileSync } from 'node:fs'
import { Ajv2020 } from 'ajv/dist/2020.js'

/** Checks against a published schema. It allows fields to be added; here nothing may be printed that it does not describe. */
function validatorOf(name: string) {
  const schema = JSON.parse(
    readFileSync(new URL(`../../schema/${name}.schema.json`, import.meta.url), 'utf8'),
  )
  const validate = new Ajv2020({ allErrors: true, strictTypes: false }).compile(closed(schema) as object)
  return (value: unknown) => {
    validate(JSON.parse(JSON.stringify(value)))
    return validate.errors ?? []
  }
}

function closed(node: unknown): unknown {
  if (Array.isArray(node)) return node.map(closed)
  if (node === null || typeof node !== 'object') return node
  const copy: Record<string, unknown> = {}
  for (const [key, value] of Object.entries(node)) copy[key] = closed(value)
  return 'properties' in copy && copy.type === 'object' ? { ...copy, additionalProperties: false } : copy
}

/** What is wrong with what a command printed with `--json`, by its schema; empty when nothing is. */
export const schemaErrors = validatorOf('check')
export const compareSchemaErrors = validatorOf('compare')
/** Of one line. */
export const gradeSchemaErrors = validatorOf('grade')
export const benchSchemaErrors = validatorOf('bench')
