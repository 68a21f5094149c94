import {
  closeSync,
  fchmodSync,
  fsyncSync,
  openSync,
  readSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs'
import { basename, dirname, isAbsolute, join, relative, resolve, sep } from 'node:path'
import process from 'node:process'
import { Refusal, type Shell } from './shell.ts'

/** A sheet's text, what it is called, and the folder that the files it names count from. */
export interface SheetFile {
  readonly text: string
  readonly name: string
  /** Its path, or null where it came from standard input. */
  readonly path: string | null
  readonly folder: string
}

/** Reads a sheet; `-` is standard input. */
export async function readSheet(file: string, shell: Shell): Promise<SheetFile> {
  if (file === '-')
    return { text: decoded(await inputOf(shell)), name: 'standard input', path: null, folder: shell.folder }
  const path = resolve(shell.folder, file)
  return { text: readText(path, file), name: basename(file), path, folder: dirname(path) }
}

async function inputOf(shell: Shell): Promise<Uint8Array> {
  try {
    return await shell.input()
  } catch (error) {
    throw new Refusal(`Standard input cannot be read: ${reason(error)}.`)
  }
}

/** The text of a file, or a refusal that says in a sentence why it cannot be read. */
function readText(path: string, named: string): string {
  try {
    return decoded(bytesOf(path))
  } catch (error) {
    throw new Refusal(`${named} cannot be read: ${reason(error)}.`)
  }
}

/** A file's bytes; one that has no end, as a device may, is left at the limit. */
function bytesOf(path: string): Uint8Array {
  const file = openSync(path, 'r')
  try {
    const parts: Uint8Array[] = []
    for (let total = 0; ; ) {
      const part = new Uint8Array(PART_BYTES)
      const count = readSync(file, part)
      total += count
      if (total > MOST_BYTES) throw new TooLarge()
      if (count === 0) return Buffer.concat(parts)
      parts.push(part.subarray(0, count))
    }
  } finally {
    closeSync(file)
  }
}

/** A sheet may hold 1 MB; files far beyond that are not read to their end. [bytes] */
export const MOST_BYTES = 16 * 1024 * 1024
const PART_BYTES = 64 * 1024

export class TooLarge extends Error {}

/** UTF-8, without the mark that some editors put before it. */
function decoded(bytes: Uint8Array): string {
  return new TextDecoder('utf-8').decode(bytes)
}

/**
 * Gives the files that a sheet's tables name, from the sheet's own folder and those inside it. Elsewhere only where
 * `outside` allows it, so that a sheet from a stranger cannot show what lies on this machine. Why a file cannot be read
 * is told as the end of a sentence.
 */
export function loader(sheet: SheetFile, outside: boolean): (path: string) => string {
  return named => {
    const path = pathFrom(sheet, outside, named)
    try {
      return decoded(bytesOf(path))
    } catch (error) {
      throw new Error(`${reason(error)}.`)
    }
  }
}

/** The path of a file that a sheet names; throws the end of a sentence where it may not be read. */
export function pathFrom(sheet: SheetFile, outside: boolean, named: string): string {
  const path = resolve(sheet.folder, named)
  if (!outside && !isInside(path, sheet.folder)) {
    throw new Error('it lies outside the folder of the sheet. Move it there, or allow it with --allow-outside.')
  }
  return path
}

/** Whether a path, links followed, lies in a folder; one that does not exist is judged by its name. */
function isInside(path: string, folder: string): boolean {
  const way = relative(real(folder), real(path))
  return way !== '..' && !way.startsWith(`..${sep}`) && !isAbsolute(way)
}

function real(path: string): string {
  try {
    return realpathSync(path)
  } catch {
    return dirname(path) === path ? path : join(real(dirname(path)), basename(path))
  }
}

/** Refuses to write where something is read from, links followed: what is written would take its place. */
export function refuseRead(named: string, path: string, read: readonly string[]): void {
  const place = real(path)
  if (read.some(each => real(each) === place))
    throw new Refusal(`${named} is read here, so it is not written over. Give what is written another name.`)
}

/** Refuses a file whose folder is not there, before there is anything to write. */
export function refuseNowhere(named: string, path: string): void {
  if (!statSync(dirname(path), { throwIfNoEntry: false })?.isDirectory()) throw unwritten(named, { code: 'ENOENT' })
}

/** What is said where a file cannot be written: a path that is not there is then a folder that is not there. */
export function unwritten(named: string, error: unknown): Refusal {
  const why = codeOf(error) === 'ENOENT' ? 'there is no such folder' : reason(error)
  return new Refusal(`${named} cannot be written: ${why}.`)
}

/** Writes a file whole or not at all. */
export function writeWhole(path: string, named: string, text: string | Uint8Array): void {
  const place = real(path)
  try {
    if (isDevice(place)) writeFileSync(place, text)
    else replace(place, text)
  } catch (error) {
    throw unwritten(named, error)
  }
}

/** The same where what is written comes piece by piece: `put` writes into a file that takes the place of the old one once it is whole. */
export async function writeWholeBy(path: string, named: string, put: (file: number) => Promise<void>): Promise<void> {
  const place = real(path)
  try {
    await replaceBy(place, put)
  } catch (error) {
    throw unwritten(named, error)
  }
}

async function replaceBy(place: string, put: (file: number) => Promise<void>): Promise<void> {
  const part = beside(place)
  try {
    await put(part.file)
    part.take()
  } catch (error) {
    part.drop()
    throw error
  }
}

/** A device or a pipe is written into; nothing can be put in its place. */
function isDevice(place: string): boolean {
  const found = statSync(place, { throwIfNoEntry: false })
  return found !== undefined && !found.isFile() && !found.isDirectory()
}

function replace(place: string, text: string | Uint8Array): void {
  const part = beside(place)
  try {
    writeFileSync(part.file, text)
    part.take()
  } catch (error) {
    part.drop()
    throw error
  }
}

/** A file opened beside another, to be put in its place once it is whole, or to be dropped. */
function beside(place: string): { readonly file: number; readonly take: () => void; readonly drop: () => void } {
  const path = join(dirname(place), `.${basename(place)}.${process.pid}.new`)
  const file = openSync(path, 'wx')
  keepMode(file, place)
  let open = true
  const close = (): void => {
    if (open) closeSync(file)
    open = false
  }
  return {
    file,
    take: () => {
      fsyncSync(file)
      close()
      renameSync(path, place)
    },
    drop: () => {
      close()
      rmSync(path, { force: true })
    },
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

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file',
  ENOTDIR: 'a part of its path is no folder',
  EISDIR: 'it is a folder',
  EACCES: 'it may not be opened by you',
  EPERM: 'it may not be opened by you',
  EROFS: 'the disk may not be written to',
  ENOSPC: 'the disk is full',
  ENAMETOOLONG: 'its name is too long',
  ELOOP: 'its links run in a circle',
  ERR_INVALID_ARG_VALUE: 'its name holds a character that no name may',
}

/** Why a file could not be read or written, as the end of a sentence. */
export function reason(error: unknown): string {
  if (error instanceof TooLarge) return 'it is larger than any sheet or table may be'
  const code = codeOf(error)
  return Object.hasOwn(REASONS, code) ? REASONS[code]! : `the system says ${code || 'nothing more'}`
}

function codeOf(error: unknown): string {
  return typeof error === 'object' && error !== null && 'code' in error ? String(error.code) : ''
}
