import { spawnSync } from 'node:child_process'
import type { Server } from 'node:http'
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core'
import { pageFiles, type SheetInside } from '../../sheets/command/page-files.ts'
import { portOf, servePage } from '../../sheets/command/page-server.ts'
import { chromiumHere } from '../support/chromium.ts'

/** What all tests of the page share: one browser, one server of the page without a sheet inside, the folder it was built into. */
export interface Shared {
  /** Where the browser is joined. */
  readonly endpoint: string
  readonly address: string
  readonly place: string
}

/** A browser, and where the page is. */
export interface Stand {
  readonly browser: Browser
  readonly address: string
  readonly place: string
  readonly leave: () => Promise<void>
}

/** How Debian's Chromium is begun. */
export function launching(): { readonly executablePath: string; readonly args: string[] } {
  const executablePath = spawnSync('which', [chromiumHere()!], { encoding: 'utf8' }).stdout.trim()
  return { executablePath, args: ['--no-sandbox'] }
}

/** Joins the browser that stands ready for all tests. */
export async function joined({ endpoint, address, place }: Shared): Promise<Stand> {
  const browser = await chromium.connect(endpoint)
  return { browser, address, place, leave: () => browser.close() }
}

/** A browser and a server of its own, for a page with a sheet inside. */
export async function stand(place: string, inside: SheetInside | null, flags: readonly string[] = []): Promise<Stand> {
  const { executablePath, args } = launching()
  const [browser, server] = await Promise.all([
    chromium.launch({ executablePath, args: [...args, ...flags] }),
    servePage(pageFiles(inside, place), 0),
  ])
  const leave = async (): Promise<void> => {
    await Promise.all([browser.close(), shut(server)])
  }
  return { browser, address: addressOf(server), place, leave }
}

export function addressOf(server: Server): string {
  return `http://127.0.0.1:${portOf(server)}/`
}

export async function shut(server: Server): Promise<void> {
  server.closeAllConnections()
  await new Promise(done => server.close(done))
}

/** The window of a reader: its size and language. */
export const USUAL = { viewport: { width: 1440, height: 1000 }, locale: 'en-GB' } as const

/** A page opened in a context of its own, with what it complained of: nothing, if all is well. */
export async function opened(
  { browser, address }: Stand,
  how: Parameters<Browser['newContext']>[0] = {},
  at = '',
): Promise<{ readonly page: Page; readonly context: BrowserContext; readonly complaints: string[] }> {
  const context = await browser.newContext({ ...USUAL, ...how })
  const page = await context.newPage()
  const complaints = listening(page)
  await page.goto(`${address}${at}`)
  await answered(page)
  return { page, context, complaints }
}

/** Everything a page says is wrong. */
export function listening(page: Page): string[] {
  const complaints: string[] = []
  page.on('pageerror', error => complaints.push(error.message))
  page.on('console', message => {
    if (message.type() === 'error' || message.type() === 'warning') complaints.push(message.text())
  })
  return complaints
}

/** Waits until the page shows an answer to its sheet as it stands; maps and reasons may still be on their way. */
export async function told(page: Page): Promise<void> {
  await page.waitForFunction(() => /^(answered|still)$/.test(document.documentElement.dataset.state ?? ''), undefined, {
    timeout: 60_000,
  })
}

/** Waits until nothing more is to come: the fine map, what explains the answer, the flight card. */
export async function answered(page: Page): Promise<void> {
  await page.waitForFunction(() => document.documentElement.dataset.state === 'still', undefined, { timeout: 60_000 })
}
