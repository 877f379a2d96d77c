import { readFileSync } from 'node:fs'
import { Ajv2020 } from 'ajv/dist/2020.js'

const schema = JSON.parse(readFileSync(new URL('../../schema/check.schema.json', import.meta.url), 'utf8'))
/** The published schema allows fields to be added; here nothing may be printed that it does not describe. */
const validate = new Ajv2020({ allErrors: true, strictTypes: false }).compile(closed(schema) as object)

function closed(node: unknown): unknown {
  if (Array.isArray(node)) return node.map(closed)
  if (node === null || typeof node !== 'object') return node
  const copy: Record<string, unknown> = {}
  for (const [key, value] of Object.entries(node)) copy[key] = closed(value)
  return 'properties' in copy && copy.type === 'object' ? { ...copy, additionalProperties: false } : copy
}

/** What is wrong with `check --json` output by the published schema; empty when nothing is. */
export function schemaErrors(value: unknown) {
  validate(JSON.parse(JSON.stringify(value)))
  return validate.errors ?? []
}
