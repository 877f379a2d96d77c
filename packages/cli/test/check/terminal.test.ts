import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { terminalStyle } from '../../src/commands/terminalStyle.js'
import { startProgress } from '../../src/io/progress.js'

/** Stands in for standard output or error: a terminal of 100 columns that knows colours, or a pipe. */
function stream(isTTY: boolean) {
  const written: string[] = []
  const fake = {
    isTTY,
    columns: isTTY ? 100 : undefined,
    hasColors: () => isTTY,
    write: (s: string) => written.push(s),
  }
  return { written, as: fake as unknown as NodeJS.WriteStream }
}

describe('startProgress', () => {
  beforeEach(() => {
    vi.useFakeTimers()
  })
  afterEach(() => {
    vi.useRealTimers()
  })

  it('stays silent for what takes less than a second', () => {
    const { written, as } = stream(true)
    const progress = startProgress(as, true)
    progress.later('reading')
    vi.advanceTimersByTime(990)
    progress.done()
    vi.advanceTimersByTime(5000)
    expect(written).toEqual([])
  })

  it('shows the last thing said and wipes it', () => {
    const { written, as } = stream(true)
    const progress = startProgress(as, true)
    progress.later('reading')
    vi.advanceTimersByTime(1010)
    progress.now('listening')
    progress.done()
    expect(written).toEqual(['\r\u001b[Kreading', '\r\u001b[Klistening', '\r\u001b[K'])
  })

  it.each([
    [false, true],
    [true, false],
  ])('terminal %s, wanted %s: writes nothing', (isTTY, wanted) => {
    const { written, as } = stream(isTTY)
    const progress = startProgress(as, wanted)
    progress.later('reading')
    progress.now('listening')
    vi.advanceTimersByTime(5000)
    progress.done()
    expect(written).toEqual([])
  })
})

describe('terminalStyle', () => {
  const hasColor = (isTTY: boolean, env: NodeJS.ProcessEnv) => {
    const { colors } = terminalStyle(stream(isTTY).as, env)
    return colors.red('x') !== 'x'
  }

  it('colours a terminal only, and not under NO_COLOR', () => {
    expect(hasColor(true, {})).toBe(true)
    expect(hasColor(true, { NO_COLOR: '1' })).toBe(false)
    expect(hasColor(false, { CI: 'true' })).toBe(false)
  })

  it('takes the width of the terminal, else COLUMNS, else 80, within bounds', () => {
    const width = (isTTY: boolean, env: NodeJS.ProcessEnv) => terminalStyle(stream(isTTY).as, env).width
    expect(width(true, { COLUMNS: '60' })).toBe(100)
    expect(width(false, { COLUMNS: '60' })).toBe(60)
    expect(width(false, { COLUMNS: '9' })).toBe(40)
    expect(width(false, { COLUMNS: '900' })).toBe(120)
    expect(width(false, { COLUMNS: 'wide' })).toBe(80)
  })
})
