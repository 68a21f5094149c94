import { resolve } from 'node:path'
import { listed } from '../report/listed.ts'
import { readSheet } from './files.ts'
import { say } from './messages.ts'
import { filesOf } from './page-beside.ts'
import { pageFiles, type SheetInside, singlePage } from './page-files.ts'
import { portOf, servePage } from './page-server.ts'
import { pictureKind } from './pictures.ts'
import { Refusal, type Shell, STATUS, type Status } from './shell.ts'
import { refusePlace, writeWhole } from './writing.ts'

export interface PageOptions {
  readonly out?: string
  readonly port?: string
  readonly allowOutside?: boolean
}

/** `loftsheet page [FILE]`: serves the page on this machine's loopback address until it is stopped, or writes it as one file. */
export async function page(named: string | undefined, options: PageOptions, shell: Shell): Promise<Status> {
  if (options.out !== undefined) pictureKind(options.out, ['html'], 'page')
  const port = portFrom(options.port)
  const { inside, read } = named === undefined ? NOTHING : await sheetInside(named, options, shell)
  if (options.out !== undefined) {
    refusePlace(options.out, read, shell)
    writeWhole(resolve(shell.folder, options.out), options.out, singlePage(inside))
    say(
      shell,
      `${options.out} holds the page${inside ? ` with ${contents(inside)} inside` : ''}; it opens in any browser.`,
    )
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

/** A sheet for the page, and where it and its files were read. */
interface Found {
  readonly inside: SheetInside | null
  readonly read: readonly string[]
}

const NOTHING: Found = { inside: null, read: [] }

async function sheetInside(named: string, { allowOutside }: PageOptions, shell: Shell): Promise<Found> {
  const file = await readSheet(named, shell)
  const { files, left } = await filesOf(file, allowOutside ?? false, shell)
  // The page is of use without them as well: it asks for what it does not have.
  for (const words of left) say(shell, words)
  const beside = Object.keys(files).map(path => resolve(file.folder, path))
  return {
    inside: { name: named === '-' ? 'sheet.loft' : file.name, text: file.text, files },
    read: file.path === null ? beside : [file.path, ...beside],
  }
}

function contents({ name, files = {} }: SheetInside): string {
  return listed([name, ...Object.keys(files)])
}

function portFrom(written: string | undefined): number {
  if (written === undefined) return 0
  if (/^\d{1,5}$/.test(written) && Number(written) <= 65_535) return Number(written)
  throw new Refusal(`"--port ${written}" is no port; write a whole number up to 65535.`)
}
