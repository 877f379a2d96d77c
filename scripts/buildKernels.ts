/**
 * Compiles packages/core/src/kernels/assembly/index.ts and writes packages/core/src/kernels/bytes.ts.
 *
 *     npx tsx scripts/buildKernels.ts
 */
import { writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { main } from 'assemblyscript/asc'

const KERNELS = fileURLToPath(new URL('../packages/core/src/kernels/', import.meta.url))
/** Larger modules are refused by some browsers when they are compiled on the page's own thread. */
const MOST_BYTES = 4096

/** The compiled module. @throws {Error} with the compiler's words when the source does not compile */
export async function compileKernels(): Promise<Uint8Array> {
  let bytes: Uint8Array | undefined
  const { error, stderr } = await main(
    [
      'assembly/index.ts',
      '--baseDir',
      KERNELS,
      '--outFile',
      'kernels.wasm',
      '--runtime',
      'stub',
      '--enable',
      'simd',
      '-O3',
      '--shrinkLevel',
      '1',
      '--noAssert',
      '--initialMemory',
      '1',
    ],
    {
      writeFile: (_name, contents) => {
        if (typeof contents !== 'string') bytes = contents
      },
    },
  )
  if (error || !bytes) throw new Error(`the kernels do not compile: ${error?.message}\n${stderr}`)
  if (bytes.length >= MOST_BYTES)
    throw new Error(`${bytes.length} bytes are too many, at most ${MOST_BYTES - 1}`)
  return bytes
}

/** Text of bytes.ts. */
export function kernelSource(bytes: Uint8Array): string {
  const text = Buffer.from(bytes).toString('base64')
  const lines = text.match(/.{1,100}/g)!.map((line) => `  '${line}'`)
  return `// Written by scripts/buildKernels.ts from assembly/index.ts; do not edit.

/** WebAssembly module of the kernels (${bytes.length} bytes), base64. */
export const KERNEL_BASE64 =
${lines.join(' +\n')}
`
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const bytes = await compileKernels()
  writeFileSync(`${KERNELS}bytes.ts`, kernelSource(bytes))
  console.log(`packages/core/src/kernels/bytes.ts: ${bytes.length} bytes`)
}
