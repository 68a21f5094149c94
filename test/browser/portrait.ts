// The picture of the page in the README: `npm run portrait`.
import { readFileSync } from 'node:fs'
import { opened, stand } from './browser.ts'
import { builtPage } from './build.ts'

const text = readFileSync('sheets/examples/heron.loft', 'utf8')
const here = await stand(await builtPage(), { name: 'heron.loft', text })
const { page } = await opened(here, { viewport: { width: 1288, height: 1720 }, colorScheme: 'light' })
// The fine map comes last, and its detail with it.
await page.getByLabel(/^Detail A/).waitFor()
await page.screenshot({ path: 'sheets/examples/page.png' })
await here.leave()
