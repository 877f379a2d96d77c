import type { Store } from './state.js'

/** True where the page came with what makes it installable; the one-file form has nothing to install. */
export const isInstallable = (): boolean => document.querySelector('link[rel=manifest]') !== null

/** Has the browser keep the page for when there is no network, and says when it took in a newer version. */
export async function keepPage(store: Store): Promise<void> {
  const { serviceWorker } = navigator
  if (!isInstallable() || !serviceWorker) return
  serviceWorker.addEventListener('message', ({ data }) => {
    if (data !== ownVersion())
      store.say('A newer version of this page is here: load the page again to use it.')
  })
  const ask = () => serviceWorker.controller?.postMessage('version')
  serviceWorker.addEventListener('controllerchange', ask)
  // A newer one may have taken over before this page listened.
  ask()
  await serviceWorker.register('service.js').catch((error: unknown) => console.warn(error))
}

/** What the service worker of the same version answers. */
const ownVersion = (): string => document.querySelector<HTMLMetaElement>('meta[name=version]')!.content
