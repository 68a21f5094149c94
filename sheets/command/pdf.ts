import { execFile } from 'node:child_process'
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { promisify } from 'node:util'
import { Refusal, type Shell } from './shell.ts'

/** Names under which a Chromium is found; LOFTSHEET_CHROMIUM names another. */
const BROWSERS = ['chromium', 'chromium-browser', 'google-chrome', 'chrome']
/** Printing one page takes a second or two; a browser that hangs is given up. [ms] */
const PATIENCE = 60_000

/** A page of HTML printed to PDF by a Chromium of this machine; a refusal that says what to do where there is none. */
export async function printedPdf(page: string, environment: Shell['environment']): Promise<Uint8Array> {
  const folder = mkdtempSync(join(tmpdir(), 'loftsheet-card-'))
  try {
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
        await promisify(execFile)(browser, words, { timeout: PATIENCE })
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
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}
