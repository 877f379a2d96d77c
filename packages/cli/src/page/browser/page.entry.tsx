import { render } from 'preact'
import { embedded } from '../../web/browser/embedded.js'
import type { PageFacts } from '../riderPage.js'
import { App } from './App.js'
import { Desk } from './desk.js'
import { embeddedText, packedScriptUrl, startHearing } from './hearing.js'
import { openShelf } from './keep.js'
import { Store } from './state.js'

const { worth, build } = embedded<PageFacts>('page-facts')

async function start(): Promise<void> {
  const shelf = await openShelf()
  const store = new Store({
    ready: false,
    keeps: shelf !== null,
    clips: [],
    addAs: 'before',
    comparison: null,
    recording: null,
    logs: [],
    engine: null,
    expected: null,
    worth,
    said: '',
    spoken: '',
    isWrong: false,
    removed: null,
    form: null,
  })
  const hearing = startHearing(await packedScriptUrl('hearing'))
  const desk = new Desk(store, hearing, shelf, build, embeddedText('tap'))
  const root = document.getElementById('app')!
  const draw = () => render(<App state={store.state} desk={desk} />, root)
  let isDue = false
  store.read(() => {
    if (isDue) return
    isDue = true
    requestAnimationFrame(() => {
      isDue = false
      draw()
    })
  })
  draw()
  addEventListener('beforeunload', (event) => {
    if (store.state.recording) event.preventDefault()
  })
  await desk.restore()
}

void start()
