import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'

export const WORKSPACES = ['core', 'cli'] as const
export type Workspace = (typeof WORKSPACES)[number]

export interface Packed {
  /** Path of the tarball. */
  readonly path: string
  readonly files: readonly string[]
}

/** A folder for the length of `use`, removed after. */
export async function withFolder<T>(use: (folder: string) => T | Promise<T>): Promise<T> {
  const folder = mkdtempSync(join(tmpdir(), 'everyrev-packages-'))
  try {
    return await use(folder)
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

/** Packs a package as `npm publish` would, the last build in it. */
export function pack(workspace: Workspace, folder: string): Packed {
  const said = npm(['pack', '--json', '--pack-destination', folder], folderOf(workspace))
  const [{ filename, files }] = JSON.parse(said)
  return { path: join(folder, filename), files: files.map((f: { path: string }) => f.path) }
}

export function npm(args: readonly string[], cwd: string): string {
  return execFileSync('npm', args, { cwd, encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] })
}

export function folderOf(workspace: Workspace): string {
  return fileURLToPath(new URL(`../../packages/${workspace}`, import.meta.url))
}

export function manifestOf(workspace: Workspace): Record<string, unknown> {
  return JSON.parse(readFileSync(join(folderOf(workspace), 'package.json'), 'utf8'))
}
