// Loaded before the program (`node --import`): counts what it asks of the disk below one folder, step by step, and at one step
// ends it, stops it, or says that the disk is full. Told by EVERYREV_FAULT, a JSON object: see `Fault` in run.ts.
import fs from 'node:fs'
import { syncBuiltinESMExports } from 'node:module'

const { kind, at = -1, within, countTo, hurry = 1 } = JSON.parse(process.env.EVERYREV_FAULT)
const real = { ...fs.promises }
const write = fs.writeFileSync
let steps = 0

const isWatched = (path) => typeof path === 'string' && path.startsWith(within)

/** One step: what it does, or the fault in its place; `half` does half of it. */
async function step(act, half = async () => {}) {
  if (++steps !== at) return act()
  if (kind === 'stop') {
    process.kill(process.pid, 'SIGSTOP')
    return act()
  }
  if (kind === 'half' || kind === 'full') await half()
  if (kind === 'full')
    throw Object.assign(new Error('ENOSPC: no space left on device'), { code: 'ENOSPC', syscall: 'write' })
  process.kill(process.pid, 'SIGKILL')
  return new Promise(() => {})
}

for (const name of ['rename', 'link', 'rm', 'unlink', 'mkdir', 'rmdir', 'chmod', 'copyFile', 'writeFile'])
  fs.promises[name] = (path, ...rest) => {
    const act = () => real[name](path, ...rest)
    // Taking away needs no room.
    return isWatched(path) && !(kind === 'full' && /^(rm|unlink|rmdir)$/.test(name)) ? step(act) : act()
  }

fs.promises.open = async (path, flags = 'r', ...rest) => {
  const writes = isWatched(path) && /[wa+]/.test(String(flags))
  const open = () => real.open(path, flags, ...rest)
  const file = writes ? await step(open) : await open()
  if (!writes) return file
  const writeFile = file.writeFile.bind(file)
  const half = (content) => () => writeFile(content.slice(0, content.length >> 1))
  file.writeFile = (content, ...more) => step(() => writeFile(content, ...more), half(content))
  for (const name of ['sync', 'chmod', 'chown', 'close']) {
    const method = file[name].bind(file)
    file[name] = (...more) => (name === 'close' && kind === 'full' ? method() : step(() => method(...more)))
  }
  return file
}

if (hurry !== 1) {
  // A minute passes in a second or two, so that a lock grows old quickly.
  const now = performance.now.bind(performance)
  performance.now = () => now() * hurry
}
syncBuiltinESMExports()
if (countTo) process.on('exit', () => write(countTo, String(steps)))
