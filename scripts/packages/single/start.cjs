/**
 * What the single-file program runs first. It unfolds the installation that it carries into the user's cache, once a build, and
 * starts the program there. The processes that the program starts are this file too: they are told apart by naming a script
 * of that installation.
 *
 * @see https://nodejs.org/docs/latest-v20.x/api/single-executable-applications.html
 */
const { existsSync, mkdirSync, renameSync, rmSync, writeFileSync } = require('node:fs')
const { homedir } = require('node:os')
const { dirname, isAbsolute, join } = require('node:path')
const { getAsset } = require('node:sea')
const { pathToFileURL } = require('node:url')
const { constants, Script } = require('node:vm')
const { gunzipSync } = require('node:zlib')

const { XDG_CACHE_HOME: wanted = '' } = process.env
const caches = isAbsolute(wanted) ? wanted : join(homedir(), '.cache')
const folder = join(caches, 'everyrev', `program-${getAsset('print', 'utf8')}`)
if (!existsSync(folder)) unfold()

/** Writes the files beside and renames the whole, so that a copy that was stopped half-way is never run. */
function unfold() {
  const draft = `${folder}.${process.pid}.tmp`
  const bytes = Buffer.from(getAsset('files'))
  const indexBytes = bytes.readUInt32LE(0)
  const index = JSON.parse(bytes.toString('utf8', 4, 4 + indexBytes))
  const contents = gunzipSync(bytes.subarray(4 + indexBytes))
  let at = 0
  for (const [name, size] of index) {
    mkdirSync(dirname(join(draft, name)), { recursive: true, mode: 0o700 })
    writeFileSync(join(draft, name), contents.subarray(at, at + size))
    at += size
  }
  try {
    renameSync(draft, folder)
  } catch (error) {
    rmSync(draft, { recursive: true, force: true })
    if (!existsSync(folder)) throw error // another one was quicker
  }
}

const [program, , ...words] = process.argv
const scriptAt = words.findIndex((word) => word.startsWith(folder))
const isChild = scriptAt >= 0 && words.slice(0, scriptAt).every((word) => word.startsWith('--'))
const script = isChild ? words[scriptAt] : join(folder, 'node_modules/everyrev/bin/everyrev.js')
process.argv = [program, script, ...words.slice(isChild ? scriptAt + 1 : 0)]
// Node says of the next call that it may change; whoever runs the program can do nothing about that.
const { emitWarning } = process
process.emitWarning = () => {}
// The importer of this file knows only what is built in; that of a script with the main context's loader knows files.
new Script(`import(${JSON.stringify(pathToFileURL(script).href)})`, {
  importModuleDynamically: constants.USE_MAIN_CONTEXT_DEFAULT_LOADER,
}).runInThisContext()
process.emitWarning = emitWarning
