import {
  accessSync,
  closeSync,
  constants,
  fchmodSync,
  fsyncSync,
  openSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs'
import { dirname, join, resolve } from 'node:path'
import { codeOf, real, reason } from './files.ts'
import { Refusal, type Shell } from './shell.ts'

/**
 * Refuses, before anything is worked out, to write where nothing can be written, and where something is read, links followed: what is
 * written would take its place.
 */
export function refusePlace(named: string | undefined, read: readonly string[], shell: Shell): void {
  if (named === undefined) return
  const path = resolve(shell.folder, named)
  const place = real(path)
  if (read.some(each => real(each) === place))
    throw new Refusal(`${named} is read here, so it is not written over. Give what is written another name.`)
  try {
    const found = statSync(place, { throwIfNoEntry: false })
    if (found?.isDirectory()) throw Object.assign(new Error(), { code: 'EISDIR' })
    if (found && isDevice(place)) return
    if (!statSync(dirname(place)).isDirectory()) throw Object.assign(new Error(), { code: 'ENOTDIR' })
    accessSync(dirname(place), constants.W_OK)
  } catch (error) {
    throw unwritten(named, error)
  }
}

/** Writing has reasons of its own: a path that is not there is then a folder that is not there. */
const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such folder',
  EACCES: 'you may not write there',
  EPERM: 'you may not write there',
}

/** What is said where a file cannot be written. */
export function unwritten(named: string, error: unknown): Refusal {
  return new Refusal(`${named} cannot be written: ${REASONS[codeOf(error)] ?? reason(error)}.`)
}

/** Writes a file whole or not at all. */
export function writeWhole(path: string, named: string, text: string | Uint8Array): void {
  try {
    const part = partOf(path)
    try {
      writeFileSync(part.file, text)
      part.take()
    } finally {
      part.drop()
    }
  } catch (error) {
    throw unwritten(named, error)
  }
}

/** The same where what is written comes piece by piece: `put` writes into a file that takes the place of the old one once it is whole. */
export async function writeWholeBy(path: string, named: string, put: (file: number) => Promise<void>): Promise<void> {
  try {
    const part = partOf(path)
    try {
      await put(part.file)
      part.take()
    } finally {
      part.drop()
    }
  } catch (error) {
    throw unwritten(named, error)
  }
}

/** An open file, to be put in its place once it is whole, or to be dropped; dropping what was put in its place changes nothing. */
export interface Part {
  readonly file: number
  readonly take: () => void
  readonly drop: () => void
}

/** A new file beside the place where it is to stand, links followed. */
export function partOf(path: string): Part {
  const place = real(path)
  return isDevice(place) ? into(place) : beside(place)
}

/** A device or a pipe is written into; nothing can be put in its place. */
function isDevice(place: string): boolean {
  const found = statSync(place, { throwIfNoEntry: false })
  return found !== undefined && !found.isFile() && !found.isDirectory()
}

function into(place: string): Part {
  const file = openSync(place, 'w')
  const close = once(() => closeSync(file))
  return { file, take: close, drop: close }
}

function beside(place: string): Part {
  const [path, file] = opened(dirname(place))
  keepMode(file, place)
  const close = once(() => closeSync(file))
  let taken = false
  return {
    file,
    take: () => {
      fsyncSync(file)
      close()
      renameSync(path, place)
      taken = true
    },
    drop: () => {
      close()
      if (!taken) rmSync(path, { force: true })
    },
  }
}

/**
 * A file of a new name in a folder. By chance, not by the number of this process: where each process has the same number, as in a container,
 * what a killed one left would be in the way. And short: a name may be as long as the folder allows.
 */
function opened(folder: string): readonly [string, number] {
  for (;;) {
    const path = join(folder, `.loftsheet-${Math.random().toString(36).slice(2, 10)}.new`)
    try {
      return [path, openSync(path, 'wx')]
    } catch (error) {
      if (codeOf(error) !== 'EEXIST') throw error
    }
  }
}

function once(act: () => void): () => void {
  let done = false
  return () => {
    if (!done) act()
    done = true
  }
}

/** A file that is replaced keeps who may read it. */
function keepMode(file: number, place: string): void {
  try {
    fchmodSync(file, statSync(place).mode)
  } catch {
    // There was no such file before, or the file system has no modes.
  }
}
