/** Makes the packages that are installed from this clone: `npm run pack` writes packed/everyrev-core-VERSION.tgz and packed/everyrev-VERSION.tgz. */
import { mkdirSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { pack, WORKSPACES } from './packed.js'

const folder = fileURLToPath(new URL('../../packed', import.meta.url))
mkdirSync(folder, { recursive: true })
for (const workspace of WORKSPACES) process.stdout.write(`${pack(workspace, folder).path}\n`)
