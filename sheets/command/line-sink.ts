import { writeFileSync } from 'node:fs'
import { resolve } from 'node:path'
import { codeOf } from './files.ts'
import { ReaderGone, type Shell } from './shell.ts'
import { partOf, unwritten } from './writing.ts'

/** Takes text bit by bit for a file that is then there whole or not at all, or for standard output. */
export interface LineSink {
  readonly write: (text: string) => Promise<void>
  readonly end: (whole: boolean) => Promise<void>
}

/** How much is passed on at a time. [characters] */
const TOGETHER = 1 << 16

export function lineSink(out: string | undefined, shell: Shell): LineSink {
  const told = <T>(act: () => T): T => {
    try {
      return act()
    } catch (error) {
      throw unwritten(out ?? 'Standard output', error)
    }
  }
  const part = out === undefined ? null : told(() => partOf(resolve(shell.folder, out)))
  let waiting = ''
  const flush = async (): Promise<void> => {
    const text = waiting
    waiting = ''
    if (part) told(() => writeFileSync(part.file, text))
    else
      await shell.out.send(text).catch(error => {
        throw codeOf(error) === 'EPIPE' ? new ReaderGone() : unwritten('Standard output', error)
      })
  }
  return {
    write: async text => {
      waiting += text
      if (waiting.length > TOGETHER) await flush()
    },
    end: async whole => {
      try {
        if (whole) {
          await flush()
          told(() => part?.take())
        }
      } finally {
        part?.drop()
      }
    },
  }
}
