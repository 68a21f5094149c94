import type { BrowserContext, Page } from 'playwright-core'
import { afterAll, beforeAll, inject, onTestFinished } from 'vitest'
import { joined, listening, type opened, type Stand, told, USUAL } from './browser.ts'

const shared = inject('shared')

/** Whether there is a browser here. */
export const found = shared !== null

/** A page, and what it complained of: nothing, if all is well. */
export interface Fresh {
  readonly page: Page
  readonly complaints: readonly string[]
}

export interface AtHand {
  readonly here: () => Stand
  /** A first visitor's page, with its first answer: in the one window of this file, whose store is emptied. */
  readonly fresh: () => Promise<Fresh>
  /** A page that has not been opened yet, in a window of its own; both are shut when the test is over. */
  readonly apart: (how?: Parameters<typeof opened>[1]) => Promise<Fresh & { readonly context: BrowserContext }>
}

/** The browser and the page for the tests of one file. */
export function atHand(): AtHand {
  let stand: Stand
  let window: BrowserContext
  beforeAll(async () => {
    stand = await joined(shared!)
    window = await stand.browser.newContext(USUAL)
    // It keeps the window open between two tests: a new one costs as much as a page.
    await window.newPage()
  })
  afterAll(() => stand.leave())
  return {
    here: () => stand,
    fresh: async () => {
      const page = await window.newPage()
      onTestFinished(() => page.close())
      const line = await window.newCDPSession(page)
      await line.send('Storage.clearDataForOrigin', { origin: new URL(stand.address).origin, storageTypes: 'all' })
      const complaints = listening(page)
      await page.goto(stand.address)
      await told(page)
      return { page, complaints }
    },
    apart: async (how = {}) => {
      const context = await stand.browser.newContext({ ...USUAL, ...how })
      onTestFinished(() => context.close())
      const page = await context.newPage()
      return { page, context, complaints: listening(page) }
    },
  }
}
