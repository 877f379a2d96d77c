import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { serialize } from 'node:v8'
import { expect, it } from 'vitest'
import { makeAnalysis, oneSegment } from '../../../test/makeAnalysis.js'
import { makeTurns, repeatTurn } from '../../../test/relations/makeTurns.js'
import type { HeardPair, HeardPass } from './hear.js'
import { judgePair } from './judgePair.js'

it('a pair that was kept is compared without being heard again', () => {
  const folder = mkdtempSync(join(tmpdir(), 'everyrev-pairs-'))
  const pass = (period: number): HeardPass => {
    const turns = makeTurns(repeatTurn(1200, (i) => ({ fired: i % period === period - 1 ? 0 : 1 })))
    return {
      analysis: makeAnalysis(turns, { segments: [oneSegment(turns)] }),
      trueShare: 0,
      burnt: new Float32Array(),
    }
  }
  const kept: HeardPair = {
    sides: {
      before: [pass(2), pass(2), pass(2)],
      after: [pass(2000), pass(2000), pass(2000)],
    },
    rates: { skipping: 0.5, clean: 0 },
    clipS: 120,
    analysisS: 1,
  }
  try {
    writeFileSync(join(folder, 'first-large-1.bin'), serialize(kept))
    const { all, clipS } = judgePair({ task: { source: 'first', change: 'large', seed: 1 }, folder })
    expect(clipS).toBe(120)
    expect(all.verdict).toBe('helped')
    expect(all.change.value).toBeCloseTo(-0.5, 6)
  } finally {
    rmSync(folder, { recursive: true })
  }
})
