import { chromium } from 'playwright-core'
import type { TestProject } from 'vitest/node'
import { pageFiles } from '../../sheets/command/page-files.ts'
import { servePage } from '../../sheets/command/page-server.ts'
import setUpChromium, { chromiumHere } from '../support/chromium.ts'
import { addressOf, launching, type Shared, shut } from './browser.ts'
import { builtPage } from './build.ts'

declare module 'vitest' {
  export interface ProvidedContext {
    shared: Shared | null
  }
}

/** Before all tests of the page: it is built once, served once, and one browser stands ready for all of them. */
export default async function setUp(project: TestProject): Promise<(() => Promise<void>) | undefined> {
  setUpChromium()
  if (!chromiumHere()) {
    project.provide('shared', null)
    return
  }
  const place = await builtPage()
  const [browser, server] = await Promise.all([
    chromium.launchServer(launching()),
    servePage(pageFiles(null, place), 0),
  ])
  project.provide('shared', { endpoint: browser.wsEndpoint(), address: addressOf(server), place })
  return async () => {
    await Promise.all([browser.close(), shut(server)])
  }
}
