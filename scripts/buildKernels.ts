/**
 * Compiles every file of packages/core/src/ear/kernels/assembly/ and writes bytes.ts beside that folder.
 *
 *     npx tsx scripts/buildKernels.ts
 */
import { readdirSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { main } from 'assemblyscript/asc'

const KERNELS = fileURLToPath(new URL('../packages/core/src/ear/kernels/', import.meta.url))
/** Larger modules are refused by some browsers when they are compiled on the page's own thread: hence several. */
const MOST_BYTES = 4096

/** Name and compiled module of each file. @throws {Error} with the compiler's words when a source does not compile */
export async function compileKernels(): Promise<Map<string, Uint8Array>> {
  const files = readdirSync(`${KERNELS}assembly`).filter((file) => file.endsWith('.ts'))
  const modules = new Map<string, Uint8Array>()
  for (const file of files.sort()) modules.set(file.replace('.ts', ''), await compile(file))
  return modules
}

async function compile(file: string): Promise<Uint8Array> {
  let bytes: Uint8Array | undefined
  const { error, stderr } = await main(
    [
      `assembly/${file}`,
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
      '0',
      '--noAssert',
      '--importMemory',
      '--noExportMemory',
      '--initialMemory',
      '1',
    ],
    {
      writeFile: (_name, contents) => {
        if (typeof contents !== 'string') bytes = contents
      },
    },
  )
  if (error || !bytes) throw new Error(`${file} does not compile: ${error?.message}\n${stderr}`)
  if (bytes.length >= MOST_BYTES)
    throw new Error(`${file}: ${bytes.length} bytes are too many, at most ${MOST_BYTES - 1}`)
  return bytes
}

/** Text of bytes.ts. */
export function kernelSource(modules: ReadonlyMap<string, Uint8Array>): string {
  return `// Written by scripts/buildKernels.ts from assembly/; do not edit.

/** WebAssembly modules of the kernels, base64. */
export const KERNEL_MODULES: readonly string[] = [
${[...modules].map(([name, bytes]) => moduleSource(name, bytes)).join('')}]
`
}

function moduleSource(name: string, bytes: Uint8Array): string {
  const lines = Buffer.from(bytes)
    .toString('base64')
    .match(/.{1,100}/g)!
  return `  // ${name}, ${bytes.length} bytes\n  ${lines.map((line) => `'${line}'`).join(' +\n    ')},\n`
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const modules = await compileKernels()
  writeFileSync(`${KERNELS}bytes.ts`, kernelSource(modules))
  for (const [name, { length }] of modules) console.log(`${name}: ${length} bytes`)
}
