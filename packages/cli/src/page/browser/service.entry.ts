/**
 * Runs between the installed page and the network: keeps the files of one version whole, answers with them whether there is a
 * network or not, and never asks for anything else.
 *
 * The page is one file that loads nothing later, so a newer version may take over at once: what is open goes on as it is.
 */
declare const KEPT: { readonly version: string; readonly files: readonly string[] }

interface ServiceEvent extends Event {
  readonly request: Request
  readonly source: { postMessage(message: string): void }
  waitUntil(done: Promise<unknown>): void
  respondWith(answer: Promise<Response>): void
}
declare const self: {
  readonly location: Location
  readonly clients: { claim(): Promise<void> }
  skipWaiting(): Promise<void>
  addEventListener(
    name: 'install' | 'activate' | 'fetch' | 'message',
    act: (event: ServiceEvent) => void,
  ): void
}

const PREFIX = `everyrev ${new URL('./', self.location.href).pathname} `
const NAME = PREFIX + KEPT.version

self.addEventListener('install', (event) => event.waitUntil(install()))
self.addEventListener('activate', (event) => event.waitUntil(takeOver()))
self.addEventListener('fetch', (event) => {
  if (event.request.method === 'GET') event.respondWith(answer(event.request))
})
// A page asks whether it is of this version.
self.addEventListener('message', ({ source }) => source.postMessage(KEPT.version))

async function install(): Promise<void> {
  const cache = await caches.open(NAME)
  // Past the browser's own cache, so that the files are of one version.
  await cache.addAll(KEPT.files.map((name) => new Request(name, { cache: 'reload' })))
  await self.skipWaiting()
}

/** Lets go of older versions of this very page; others of the same host are none of its business. */
async function takeOver(): Promise<void> {
  const names = await caches.keys()
  await Promise.all(
    names.filter((name) => name.startsWith(PREFIX) && name !== NAME).map((name) => caches.delete(name)),
  )
  await self.clients.claim()
}

async function answer(request: Request): Promise<Response> {
  const cache = await caches.open(NAME)
  const wanted = request.mode === 'navigate' ? 'index.html' : request
  return (await cache.match(wanted, { ignoreSearch: true })) ?? fetch(request)
}
