/** Where the numbers of the library come from: what stands above each constant says it. */
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { type Comment, type Expression, parseSync } from 'oxc-parser'
import { globSync } from 'tinyglobby'

/** A constant with a number in it, and what is said of it. */
export interface Constant {
  /** Path from the root of the repository. */
  readonly file: string
  readonly name: string
  /** The comment above it or above those it stands with; empty where there is none. */
  readonly comment: string
}

/** The ways a number comes about, in the words that a comment uses. */
const ORIGINS =
  /\b(derived|published|fitted|measured|chosen|by definition|common practice, no source|given by the (model|file))\b/i
/** A comment that says so speaks for every number of its file. */
const WHOLE_FILE = /as are all numbers of this file/

const ROOT = fileURLToPath(new URL('../', import.meta.url))

/** All numbers of the library that stand at the top of a file. */
export function readConstants(): Constant[] {
  const files = globSync('packages/core/src/**/*.ts', { cwd: ROOT, ignore: ['**/*.test.ts', '**/*.d.ts'] })
  return files.sort().flatMap((file) => constantsOf(file, readFileSync(`${ROOT}${file}`, 'utf8')))
}

export function constantsOf(file: string, source: string): Constant[] {
  const { program, comments } = parseSync(file, source)
  return program.body.flatMap((statement) => {
    const inner = statement.type === 'ExportNamedDeclaration' ? statement.declaration : statement
    if (inner?.type !== 'VariableDeclaration' || inner.kind !== 'const') return []
    return inner.declarations.flatMap(({ id, init }) =>
      id.type === 'Identifier' && init !== null && holdsNumber(init)
        ? [{ file, name: id.name, comment: commentAbove(source, comments, statement.start) }]
        : [],
    )
  })
}

/** Those that do not say where they come from. */
export function withoutOrigin(constants: readonly Constant[]): Constant[] {
  const whole = new Set(constants.filter(({ comment }) => WHOLE_FILE.test(comment)).map(({ file }) => file))
  return constants.filter(({ file, comment }) => !ORIGINS.test(comment) && !whole.has(file))
}

/** True for a number, a sum of such, and a list or record with one in it; not for what a function makes of them. */
function holdsNumber(value: Expression): boolean {
  if (value.type === 'Literal') return typeof value.value === 'number'
  if (value.type === 'UnaryExpression') return holdsNumber(value.argument)
  if (value.type === 'TSAsExpression' || value.type === 'TSSatisfiesExpression')
    return holdsNumber(value.expression)
  if (value.type === 'BinaryExpression')
    return holdsNumber(value.left as Expression) || holdsNumber(value.right)
  if (value.type === 'ArrayExpression')
    return value.elements.some((e) => e !== null && e.type !== 'SpreadElement' && holdsNumber(e))
  if (value.type !== 'ObjectExpression') return false
  return value.properties.some((p) => p.type === 'Property' && holdsNumber(p.value as Expression))
}

/** The comment that ends above a statement with no empty line between; what stands between belongs to it as well. */
function commentAbove(source: string, comments: readonly Comment[], start: number): string {
  const above = comments.filter(({ end }) => end <= start && isOwnLine(source, end)).at(-1)
  return above && !source.slice(above.end, start).includes('\n\n') ? above.value : ''
}

const isOwnLine = (source: string, end: number): boolean => source[end] === '\n'
