import { readFileSync } from 'node:fs'
import { checkPackage, createPackageFromTarballData, type Problem } from '@arethetypeswrong/core'
import { publint } from 'publint'
import { formatMessage } from 'publint/utils'
import { describe, expect, it } from 'vitest'
import { folderOf, manifestOf, pack, WORKSPACES, withFolder } from './packed.js'

/**
 * Ways of resolving that the packages leave out on purpose, as the checker's profile `esm-only` does: both are ES modules,
 * for Node 20 and bundlers.
 */
const LEFT_OUT = new Set(['node10', 'node16-cjs'])
/** A file of data, with no types to get wrong. */
const NO_CODE = './rules/next.yaml'

/** Scripts that stand in pages as text; Node never loads them. */
const PAGE_SCRIPTS = '/dist/bundles/'

describe.each(WORKSPACES)('package %s', (workspace) => {
  it('passes publint, suggestions too', async () => {
    const manifest = manifestOf(workspace)
    const { messages } = await publint({ pkgDir: folderOf(workspace), strict: true })
    const told = messages.map((message) => formatMessage(message, manifest) ?? message.code)
    expect(told.filter((text) => !text.includes(PAGE_SCRIPTS))).toEqual([])
  })

  it('passes are-the-types-wrong for ES modules', () =>
    withFolder(async (folder) => {
      const tarball = readFileSync(pack(workspace, folder).path)
      // The program has nothing to import, so its entry points are none.
      const entrypoints = Object.keys((manifestOf(workspace).exports as object | undefined) ?? {})
      const result = await checkPackage(createPackageFromTarballData(tarball))
      if (entrypoints.length === 0) return expect(manifestOf(workspace)).not.toHaveProperty('main')
      if (!result.types) throw new Error('the package has no types')
      expect(Object.keys(result.entrypoints).sort()).toEqual(entrypoints.sort())
      expect(result.problems.filter(isMeant)).toEqual([])
    }))

  it('holds licence and introduction, and neither tests nor sources', () =>
    withFolder((folder) => {
      const { files } = pack(workspace, folder)
      expect(files).toEqual(expect.arrayContaining(['LICENSE', 'README.md', 'package.json']))
      expect(files.filter((f) => /\.test\.|^src\/|^test\/|^bench\//.test(f))).toEqual([])
    }))
})

function isMeant(problem: Problem): boolean {
  if (!('entrypoint' in problem)) return true
  return !LEFT_OUT.has(problem.resolutionKind) && problem.entrypoint !== NO_CODE
}
