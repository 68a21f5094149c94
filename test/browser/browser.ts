import { spawnSync } from 'node:child_process'
import { mkdtempSync } from 'node:fs'
import type { Server } from 'node:http'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core'
import { build } from 'vite'
import { pageFiles, type SheetInside, singlePage } from '../../sheets/command/page-files.ts'
import { portOf, servePage } from '../../sheets/command/page-server.ts'
import { chromiumHere } from '../support/chromium.ts'

export const found = chromiumHere()

/** The page built anew into a folder of its own, so that the tests see the source as it is. */
export async function builtPage(): Promise<string> {
  const place = mkdtempSync(join(tmpdir(), 'loftsheet-page-'))
  spawnSync('npx', ['nearleyc', 'grammar/loft.ne', '-o', 'grammar/loft.generated.ts'])
  // Each run adds to what the first has made.
  for (const mode of ['production', 'worker', 'single', 'single-worker'])
    await build({ configFile: 'vite.page.config.ts', mode, logLevel: 'error', build: { outDir: place } })
  return `${place}/`
}

export interface Stand {
  readonly browser: Browser
  readonly server: Server
  readonly address: string
  readonly place: string
}

/** A browser, and a server of the page with a sheet inside. */
export async function stand(place: string, inside: SheetInside | null): Promise<Stand> {
  const [browser, server] = await Promise.all([launch(), servePage(pageFiles(inside, place), 0)])
  return { browser, server, address: `http://127.0.0.1:${portOf(server)}/`, place }
}

export function launch(): Promise<Browser> {
  return chromium.launch({ executablePath: whichOf(found!), args: ['--no-sandbox'] })
}

export function whichOf(name: string): string {
  return spawnSync('which', [name], { encoding: 'utf8' }).stdout.trim()
}

export async function leave({ browser, server }: Stand): Promise<void> {
  await browser.close()
  server.closeAllConnections()
  await new Promise(done => server.close(done))
}

/** A page opened in a context of its own, with what it complained of: nothing, if all is well. */
export async function opened(
  { browser, address }: Stand,
  how: Parameters<Browser['newContext']>[0] = {},
  at = '',
): Promise<{ readonly page: Page; readonly context: BrowserContext; readonly complaints: string[] }> {
  const context = await browser.newContext({ viewport: { width: 1440, height: 1000 }, locale: 'en-GB', ...how })
  const page = await context.newPage()
  const complaints = listening(page)
  await page.goto(`${address}${at}`)
  await answered(page)
  return { page, context, complaints }
}

/** Everything a page says is wrong, and every request that is not for its own files. */
export function listening(page: Page): string[] {
  const complaints: string[] = []
  page.on('pageerror', error => complaints.push(error.message))
  page.on('console', message => {
    if (message.type() === 'error' || message.type() === 'warning') complaints.push(message.text())
  })
  return complaints
}

/** Waits until the page shows an answer to its sheet as it stands, with what explains it. */
export async function answered(page: Page): Promise<void> {
  await page.waitForFunction(() => document.documentElement.dataset.state === 'still', undefined, { timeout: 30_000 })
}

export function single(place: string, inside: SheetInside | null): string {
  return singlePage(inside, place)
}
