import { resolve } from 'node:path'
import { readSheet, writeWhole } from './files.ts'
import { say } from './messages.ts'
import { pageFiles, type SheetInside, singlePage } from './page-files.ts'
import { portOf, servePage } from './page-server.ts'
import { pictureKind } from './pictures.ts'
import { Refusal, type Shell, STATUS, type Status } from './shell.ts'

export interface PageOptions {
  readonly out?: string
  readonly port?: string
}

/** `loftsheet page [FILE]`: serves the page on this machine's loopback address until it is stopped, or writes it as one file. */
export async function page(named: string | undefined, options: PageOptions, shell: Shell): Promise<Status> {
  if (options.out !== undefined) pictureKind(options.out, ['html'], 'page')
  const port = portFrom(options.port)
  const inside = named === undefined ? null : await sheetInside(named, shell)
  if (options.out !== undefined) {
    writeWhole(resolve(shell.folder, options.out), options.out, singlePage(inside))
    say(shell, `${options.out} holds the page${inside ? ` with ${inside.name} inside` : ''}; it opens in any browser.`)
    return STATUS.done
  }
  const server = await servePage(pageFiles(inside), port)
  say(shell, `The page is at http://127.0.0.1:${portOf(server)}/ on this machine only; Ctrl-C ends it.`)
  await (shell.stopped ?? new Promise<void>(() => {}))
  await new Promise(done => {
    server.close(done)
    server.closeAllConnections()
  })
  return STATUS.done
}

async function sheetInside(named: string, shell: Shell): Promise<SheetInside> {
  const { name, text } = await readSheet(named, shell)
  return { name: named === '-' ? 'sheet.loft' : name, text }
}

function portFrom(written: string | undefined): number {
  if (written === undefined) return 0
  const port = Number(written)
  if (Number.isInteger(port) && port >= 0 && port <= 65_535) return port
  throw new Refusal(`"--port ${written}" is no port; write a whole number up to 65535.`)
}
