// Writes packages/cli/dist/everyrev.html, the rider's page whole, from the bundles that scripts/bundleWeb.ts has left. Part of
// `npm run build`.
import { writeFileSync } from 'node:fs'
import { riderPage } from '../packages/cli/src/page/riderPage.js'

writeFileSync(new URL('../packages/cli/dist/everyrev.html', import.meta.url), await riderPage())
