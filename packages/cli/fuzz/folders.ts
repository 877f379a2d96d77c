import { spawnSync } from 'node:child_process'
import { mkdirSync, symlinkSync, writeFileSync } from 'node:fs'
import { createServer, type Server } from 'node:net'
import { join } from 'node:path'
import type { Random } from '../../../scripts/simulate/index.js'
import type { Seed } from './seeds.js'

/** A folder that nobody looked through. */
export interface MixedFolder {
  readonly path: string
  /** Closes its sockets. */
  close(): void
}

const DEVICES = [
  '/dev/zero',
  '/dev/random',
  '/dev/full',
  '/dev/null',
  '/dev/tty',
  '/proc/self/mem',
  '/proc/kmsg',
]
const ODD = ['\u001b[2J', '\u202e', '\n', '-', '*', '[a]', '{b}', ' ', '\u061c', '%d', "'", '`']

/** Fills a folder with clips, links to devices and to itself, pipes, sockets, what is no clip, and names of all kinds. */
export function makeMixedFolder(path: string, seeds: readonly Seed[], random: Random): MixedFolder {
  mkdirSync(path, { recursive: true })
  const sockets: Server[] = []
  for (let k = random.whole(3, 12); k > 0; k--) {
    const seed = random.pick(seeds)
    const place = join(path, `${random.chance(0.3) ? random.pick(ODD) : ''}ride-${k}.${seed.ending}`)
    switch (random.whole(0, 7)) {
      case 0:
        symlinkSync(random.pick(DEVICES), place)
        break
      case 1:
        symlinkSync(random.pick([path, '..', place, '/nowhere']), place)
        break
      case 2:
        spawnSync('mkfifo', [place])
        break
      case 3:
        if (place.length < 100) sockets.push(createServer().listen(place).unref())
        break
      case 4:
        mkdirSync(place)
        writeFileSync(join(place, `deep.${seed.ending}`), seed.bytes)
        break
      case 5:
        writeFileSync(place, random.pick(['', 'words', '\0'.repeat(100)]))
        break
      default:
        writeFileSync(place, seed.bytes)
    }
  }
  return { path, close: () => sockets.forEach((socket) => void socket.close()) }
}
