import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { compileKernels, kernelSource } from './buildKernels.js'

test('bytes.ts is what the source compiles to', async () => {
  const path = new URL('../packages/core/src/ear/kernels/bytes.ts', import.meta.url)
  const text = kernelSource(await compileKernels())
  expect(readFileSync(path, 'utf8'), 'run npx tsx scripts/buildKernels.ts').toBe(text)
})
