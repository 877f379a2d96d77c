/** A piece of code that documentation shows. */
export interface Example {
  /** Line it begins at, from 1. */
  readonly line: number
  readonly code: string
}

/** The `@example` of doc comments: from the tag to the next one or the end of the comment. */
export function docExamples(source: string): Example[] {
  const found: Example[] = []
  const lines = source.split('\n')
  for (let k = 0; k < lines.length; k++) {
    const start = /^\s*(?:\/\*\*|\*) @example\b(.*)$/.exec(lines[k]!)
    if (!start) continue
    const code = [start[1]!.replace(/\*\/\s*$/, '')]
    for (let next = k + 1; next < lines.length && !/^\s*\*(\/| @)/.test(lines[next]!); next++)
      code.push(lines[next]!.replace(/^\s*\* ?/, '').replace(/\*\/\s*$/, ''))
    found.push({ line: k + 1, code: code.join('\n').trim() })
  }
  return found
}

/** The TypeScript blocks of a Markdown file. */
export function markdownExamples(text: string): Example[] {
  return [...text.matchAll(/^```ts\n(.*?)^```$/gms)].map((match) => ({
    line: text.slice(0, match.index).split('\n').length + 1,
    code: match[1]!,
  }))
}
