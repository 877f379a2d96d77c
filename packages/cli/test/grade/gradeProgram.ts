import { mkdtempSync, readdirSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { type Outcome, startProgram } from '../check/runProgram.js'

/** A temporary folder with clips in `clips/` and a cache of its own for every name. */
export function gradePlace() {
  const folder = mkdtempSync(join(tmpdir(), 'everyrev-grade-'))
  const cache = (name: string) => join(folder, 'caches', name)
  const start = (args: readonly string[], cacheName: string) => {
    const home = cache(cacheName)
    return startProgram(['grade', ...args], { env: { XDG_CACHE_HOME: home, HOME: home, LOCALAPPDATA: home } })
  }
  return {
    folder,
    clips: join(folder, 'clips'),
    start,
    grade: (args: readonly string[], cacheName: string): Promise<Outcome> => start(args, cacheName).outcome,
    /** How many answers a cache holds, drafts not counted. */
    kept: (name: string): number => {
      try {
        const files = readdirSync(cache(name), { recursive: true, encoding: 'utf8' })
        return files.filter((file) => file.endsWith('.json')).length
      } catch {
        return 0
      }
    },
    remove: () => rmSync(folder, { recursive: true, force: true }),
  }
}

/** The table alone: what follows it tells how many answers came from the cache. */
export function tableOf({ stdout }: Outcome): string {
  return stdout.split('\n\n')[0]!
}

/** The next text that a stream gives. */
export function nextText(stream: NodeJS.ReadableStream | null): Promise<string> {
  return new Promise((done, fail) => {
    stream?.once('data', (text) => done(String(text)))
    stream?.once('end', () => fail(new Error('the program ended without a word')))
  })
}
