import { transformSync } from 'esbuild'
import { expect } from 'vitest'

/** A line `expression // value`; declarations may carry words instead. */
const EXPECTING = /^(?!\s*(?:\/\/|const |let |import |for |if |\}))(.+?)\s+\/\/ (.+)$/

/**
 * Runs an example and checks every line `expression // value`.
 *
 * The value is written as JavaScript; numbers count to the digits shown, of an object the fields shown. Imports are taken
 * from `scope`, whatever module they name.
 *
 * @returns how many values were checked
 */
export async function runExample(code: string, scope: Readonly<Record<string, unknown>>): Promise<number> {
  let checked = 0
  const check = (actual: unknown, expected: string): void => {
    checked++
    expectShown(actual, new Function(`return (${expected})`)(), expected)
  }
  const lines = code.split('\n').filter((line) => !/^import .* from /.test(line))
  const checking = lines.map((line) => {
    const [, expression, value] = EXPECTING.exec(line) ?? []
    return value === undefined ? line : `__check((${expression}), ${JSON.stringify(value)})`
  })
  const { code: plain } = transformSync(`async function example() {${checking.join('\n')}\n}`, {
    loader: 'ts',
  })
  const names = Object.keys(scope)
  const run = new Function('__check', ...names, `${plain}\nreturn example()`)
  await run(check, ...names.map((name) => scope[name]))
  return checked
}

function expectShown(actual: unknown, shown: unknown, text: string): void {
  if (typeof shown === 'number' && Number.isFinite(shown)) {
    expect(actual, text).toBeTypeOf('number')
    expect(Math.abs((actual as number) - shown), `${actual} is not ${text}`).toBeLessThanOrEqual(
      0.5000001 * 10 ** -decimals(shown),
    )
  } else if (Array.isArray(shown)) {
    const list = Array.from(actual as ArrayLike<unknown>)
    expect(list, text).toHaveLength(shown.length)
    for (const [i, part] of shown.entries()) expectShown(list[i], part, text)
  } else if (shown !== null && typeof shown === 'object') {
    for (const [name, part] of Object.entries(shown))
      expectShown((actual as Record<string, unknown>)[name], part, `${name} in ${text}`)
  } else {
    expect(actual, text).toStrictEqual(shown)
  }
}

function decimals(value: number): number {
  return /\.(\d+)$/.exec(String(value))?.[1]?.length ?? 0
}
