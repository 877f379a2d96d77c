import { render } from 'preact'
import { writeNumbersAs } from '../../render/numeral.js'
import { embedded } from '../../web/browser/embedded.js'
import type { PageFacts } from '../riderPage.js'
import { App } from './App.js'
import { Actions } from './actions.js'
import { askToKeep, openAlbum, openShelf } from './database.js'
import { embeddedText, packedScriptUrl, startHearing } from './hearing.js'
import { keepPage } from './install.js'
import { showTextSafely } from './safeText.js'
import { Store } from './state.js'
import { unitsOf } from './units.js'

const { worth, build } = embedded<PageFacts>('page-facts')

const LOST_HEARING =
  'The part of the page that hears has stopped, perhaps for want of memory: load the page again; what is kept stays.'

async function start(): Promise<void> {
  showTextSafely()
  writeNumbersAs(navigator.language)
  const database = await openShelf()
  const store = new Store({
    ready: false,
    keeps: database !== null,
    isPromised: null,
    clips: [],
    addAs: 'before',
    comparison: null,
    recording: null,
    logs: [],
    damagedLogs: [],
    photos: new Map(),
    engine: null,
    expected: null,
    units: unitsOf(navigator.language),
    worth,
    said: '',
    spoken: '',
    isWrong: false,
    undo: null,
    draft: null,
    view: null,
    isAtBench: false,
    next: null,
    planned: null,
    sums: {},
  })
  const hearing = startHearing(await packedScriptUrl('hearing'))
  const actions = new Actions(
    store,
    hearing.remote,
    database,
    await openAlbum(),
    build,
    embeddedText('capture'),
  )
  const root = document.getElementById('app')!
  const draw = () => render(<App state={store.state} actions={actions} />, root)
  let isDue = false
  store.read(() => {
    if (isDue) return
    isDue = true
    requestAnimationFrame(() => {
      isDue = false
      draw()
    })
  })
  hearing.onTrouble(() => store.complain(LOST_HEARING))
  draw()
  addEventListener('beforeunload', (event) => {
    if (store.state.recording) event.preventDefault()
  })
  // A browser may ask the rider first, so nothing waits for the answer.
  if (database) void askToKeep().then((isPromised) => store.set({ isPromised }))
  await actions.restore()
  await keepPage(store)
}

start().catch((error: unknown) => {
  const root = document.getElementById('app')!
  root.textContent = `This page cannot start in this browser (${error instanceof Error ? error.message : String(error)}): try a newer one, or everyrev check on a computer.`
  console.error(error)
})
