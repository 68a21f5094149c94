import { renameSync, rmSync } from 'node:fs'
import { open } from 'node:fs/promises'
import { resolve } from 'node:path'
import process from 'node:process'
import { unwritten } from './files.ts'
import type { Shell } from './shell.ts'

/** Takes text bit by bit for a file that is then there whole or not at all, or for standard output. */
export interface LineSink {
  readonly write: (text: string) => Promise<void>
  readonly end: (whole: boolean) => Promise<void>
}

/** How much is passed on at a time. [characters] */
const TOGETHER = 1 << 16

export async function lineSink(out: string | undefined, shell: Shell): Promise<LineSink> {
  const failed = (error: unknown): never => {
    throw unwritten(out ?? 'Standard output', error)
  }
  const place = out === undefined ? null : resolve(shell.folder, out)
  const beside = `${place}.${process.pid}.new`
  const file = place === null ? null : await open(beside, 'w').catch(failed)
  let waiting = ''
  const flush = async (): Promise<void> => {
    const text = waiting
    waiting = ''
    await (file ? file.appendFile(text) : shell.out.send(text)).catch(failed)
  }
  return {
    write: async text => {
      waiting += text
      if (waiting.length > TOGETHER) await flush()
    },
    end: async whole => {
      if (whole) await flush()
      await file?.close()
      if (place === null) return
      if (whole) renameSync(beside, place)
      else rmSync(beside, { force: true })
    },
  }
}
