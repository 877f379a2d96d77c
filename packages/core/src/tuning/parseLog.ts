import * as v from 'valibot'
import {
  type Document,
  isMap,
  isNode,
  isPair,
  LineCounter,
  type ParsedNode,
  parseDocument,
  type Tags,
  type YAMLError,
} from 'yaml'
import { checkFigures } from './checkFigures.js'
import { type ClosingLine, splitClosingLine } from './closingLine.js'
import { LogError, type PlaceOf } from './logError.js'
import { LOG_SCHEMA, type LogFile } from './logSchema.js'

/** A log as read: its YAML with comments, its plain content, its closing line. */
export interface ParsedLog {
  readonly document: Document.Parsed
  readonly file: LogFile
  readonly closing: ClosingLine | null
  readonly placeOf: PlaceOf
  /** How its lines end. */
  readonly lineEnd: '\n' | '\r\n'
}

/** Nothing in a tuning log repeats itself by reference, so aliases are damage: none is allowed. Chosen. */
const YAML_OPTIONS = { prettyErrors: false, maxAliasCount: 0 } as const

/** Numbers are written back as they were read, `007` and all, unless another took their place. */
const keepNumbers = (tags: Tags): Tags =>
  tags.map((tag) => {
    if (typeof tag === 'string' || tag.collection || !/:(int|float)$/.test(tag.tag)) return tag
    return {
      ...tag,
      stringify: (item, ...more) =>
        item.source !== undefined && Number(item.source) === item.value
          ? item.source
          : tag.stringify!(item, ...more),
    }
  })

/**
 * Reads the text of a log.
 *
 * @throws {LogError} with line and column for text that is no YAML, that holds a field this format does not have or a
 *   value it does not allow, whose trials are not numbered 1, 2, 3 …, or that holds fewer trials than its closing line says
 */
export function parseLog(text: string): ParsedLog {
  const { body, closing } = splitClosingLine(text)
  const lines = new LineCounter()
  const document = parseDocument(body, { ...YAML_OPTIONS, customTags: keepNumbers, lineCounter: lines })
  const [error] = [...document.errors, ...document.warnings]
  if (error) throw yamlError(error, lines)
  const placeOf: PlaceOf = (path) => {
    const { line, col } = lines.linePos(offsetOf(document, path))
    return { line, column: col }
  }
  const result = v.safeParse(LOG_SCHEMA, toPlain(document))
  if (!result.success) throw schemaError(result.issues, placeOf)
  const lineEnd = /^[^\n]*\r\n/.test(text) ? '\r\n' : '\n'
  const parsed: ParsedLog = { document, file: result.output, closing, placeOf, lineEnd }
  checkFigures(parsed.file, placeOf)
  checkNumbers(parsed)
  checkClosingLine(parsed, text)
  return parsed
}

function toPlain(document: Document.Parsed): unknown {
  try {
    return document.toJS(YAML_OPTIONS)
  } catch (error) {
    if (error instanceof ReferenceError)
      throw new LogError(1, 1, 'a * stands for an alias, which a log does not have')
    throw error
  }
}

function yamlError(error: YAMLError, lines: LineCounter): LogError {
  const { line, col } = lines.linePos(error.pos[0])
  if (/call stack/i.test(error.message))
    return new LogError(line, col, 'lists within lists go on deeper than a log ever does', HINT)
  const message = error.message.replace(/\s+/g, ' ').trim()
  const hint = error.code === 'BLOCK_AS_IMPLICIT_KEY' ? QUOTES_HINT : HINT
  return new LogError(line, col, `not readable as YAML: ${message}`, hint)
}

const QUOTES_HINT =
  'put what stands behind the first colon in quotes, as in change: "exhaust: stock -> drilled"'
const HINT = 'mend that line, or take the backup beside it (.bak)'

/** The first issue in words: which field, what it should be. */
function schemaError(issues: readonly v.BaseIssue<unknown>[], placeOf: PlaceOf): LogError {
  const issue = deepest(issues)
  const path = (issue.path ?? []).map(({ key }) => key as string | number)
  const { line, column } = placeOf(path)
  if (path.length === 0)
    return new LogError(
      line,
      column,
      issue.input == null ? 'the file is empty' : 'this is no tuning log',
      'a log begins with engine: and lists trials:; a new one is best begun by the program',
    )
  const name = path.findLast((key) => typeof key === 'string') ?? 'the file'
  if (issue.expected === 'never')
    return new LogError(line, column, `“${name}” is no field of a log here`, HINT)
  if (issue.received === 'undefined') return new LogError(line, column, `“${name}” is missing`, HINT)
  const found = typeof issue.input === 'object' ? 'what stands here' : `“${issue.input}”`
  return new LogError(
    line,
    column,
    `${name}: expected ${describe(path) ?? issue.expected}; found ${found}`,
    HINT,
  )
}

/** Of several issues the one furthest down the file's tree: a union also complains of its whole. */
function deepest(issues: readonly v.BaseIssue<unknown>[]): v.BaseIssue<unknown> {
  const all = issues.flatMap((issue) => [issue, ...(issue.issues ?? [])])
  return all.reduce((best, issue) => ((issue.path?.length ?? 0) > (best.path?.length ?? 0) ? issue : best))
}

/** The schema's own description of a field, by walking it along a path. */
function describe(path: readonly (string | number)[]): string | undefined {
  let schema: unknown = LOG_SCHEMA
  let found: string | undefined
  for (const key of path) {
    schema = childOf(schema, key)
    found = descriptionOf(schema) ?? found
  }
  return found
}

interface Walkable {
  readonly wrapped?: unknown
  readonly entries?: Readonly<Record<string, unknown>>
  readonly item?: unknown
  readonly value?: unknown
  readonly options?: readonly unknown[]
  readonly pipe?: readonly { readonly type?: string; readonly description?: string }[]
}

function childOf(schema: unknown, key: string | number): unknown {
  const { wrapped, entries, item, value, options } = (schema ?? {}) as Walkable
  if (wrapped) return childOf(wrapped, key)
  if (entries) return entries[key]
  if (options) return options.map((option) => childOf(option, key)).find((child) => child !== undefined)
  return item ?? value
}

function descriptionOf(schema: unknown): string | undefined {
  const { wrapped, pipe } = (schema ?? {}) as Walkable
  return (
    pipe?.find((part) => part.type === 'description')?.description ??
    (wrapped ? descriptionOf(wrapped) : undefined)
  )
}

/** Where the node of a path begins; of a path that leads nowhere, where its last known part begins. */
function offsetOf(document: Document.Parsed, path: readonly (string | number)[]): number {
  let node: unknown = document.contents
  let offset = 0
  for (const key of path) {
    const pair: unknown = isMap(node)
      ? node.items.find((item) => isNode(item.key) && String(item.key) === String(key))
      : undefined
    const next: unknown = pair ?? (node as { get?(key: unknown, keep: boolean): unknown })?.get?.(key, true)
    if (next === undefined || next === null) break
    const start = isPair(next) ? next.key : next
    offset = (start as ParsedNode).range?.[0] ?? offset
    node = isPair(next) ? next.value : next
  }
  return offset
}

function checkNumbers({ file, placeOf }: ParsedLog): void {
  file.trials.forEach(({ trial }, i) => {
    if (trial === i + 1) return
    const { line, column } = placeOf(['trials', i, 'trial'])
    const found = i === 0 ? `the first trial is number ${trial}` : `trial ${trial} follows trial ${i}`
    throw new LogError(
      line,
      column,
      `${found}: is trial ${i + 1} missing?`,
      'put it back from the backup beside it (.bak), or number the trials 1, 2, 3 …',
    )
  })
}

function checkClosingLine({ file, closing }: ParsedLog, text: string): void {
  if (closing === null) return
  const lost = [
    [closing.trials, file.trials.length, 'trial'],
    [closing.undone, file.undone?.length ?? 0, 'undone trial'],
  ] as const
  for (const [told, found, what] of lost) {
    if (found >= told) continue
    const line = text.trimEnd().split('\n').length
    throw new LogError(
      line,
      1,
      `the closing line counts ${told} ${what}${told === 1 ? '' : 's'}, but ${found} ${found === 1 ? 'is' : 'are'} there`,
      'put back what is missing from the backup beside it (.bak), or correct the number if you took it out yourself',
    )
  }
}
