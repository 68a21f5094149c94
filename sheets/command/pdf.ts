import { execFile } from 'node:child_process'
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { promisify } from 'node:util'
import { inScratch } from './scratch.ts'
import { Refusal, type Shell } from './shell.ts'
import { endedBy, watchSignals } from './stopping.ts'

/** Names under which a Chromium is found; LOFTSHEET_CHROMIUM names another. */
const BROWSERS = ['chromium', 'chromium-browser', 'google-chrome', 'chrome']
/** Printing one page takes a second or two; a browser that hangs is given up. [ms] */
const PATIENCE = 60_000

/** A page of HTML printed to PDF by a Chromium of this machine; a refusal that says what to do where there is none. */
export async function printedPdf(page: string, environment: Shell['environment']): Promise<Uint8Array> {
  const leaving = new AbortController()
  const stop = watchSignals(() => leaving.abort())
  try {
    return await inScratch('card', folder => printedIn(folder, page, environment, leaving.signal))
  } finally {
    stop.done()
    // The browser has been ended and its folder cleared: now this process goes as it was asked to.
    if (stop.signal !== null) endedBy(stop.signal)
  }
}

async function printedIn(
  folder: string,
  page: string,
  environment: Shell['environment'],
  signal: AbortSignal,
): Promise<Uint8Array> {
  const [from, to] = [join(folder, 'card.html'), join(folder, 'card.pdf')]
  writeFileSync(from, page)
  const words = [
    '--headless',
    '--no-sandbox',
    '--disable-gpu',
    '--no-pdf-header-footer',
    `--user-data-dir=${join(folder, 'browser')}`,
    `--print-to-pdf=${to}`,
    pathToFileURL(from).href,
  ]
  for (const browser of [environment.LOFTSHEET_CHROMIUM, ...BROWSERS]) {
    if (!browser) continue
    try {
      await ran(browser, words, signal)
      // One that is there and ends without a page has failed too.
      if (!existsSync(to)) throw new Error('nothing was printed')
      return readFileSync(to)
    } catch (error) {
      // The next name may be there; a browser that is there and fails is told of.
      if (!(error instanceof Error && 'code' in error && error.code === 'ENOENT'))
        throw new Refusal(`${browser} could not print the card. Write .html instead, and print that.`)
    }
  }
  throw new Refusal(
    'To write a PDF a Chromium is needed, and none was found here (Debian: chromium). Write .html instead, and print that.',
  )
}

/** Runs a browser to its end; where it is to be left it is ended, and waited for, so that it writes no more. */
async function ran(browser: string, words: readonly string[], signal: AbortSignal): Promise<void> {
  const running = promisify(execFile)(browser, words, { timeout: PATIENCE, signal })
  const gone = new Promise<void>(done => running.child.once('close', () => done()))
  try {
    await running
  } catch (error) {
    if (signal.aborted) await gone
    throw error
  }
}
