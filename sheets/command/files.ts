import { closeSync, openSync, readSync, realpathSync } from 'node:fs'
import { basename, dirname, isAbsolute, join, relative, resolve, sep } from 'node:path'
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
  if (file === '') throw new Refusal('"" is no name of a file. Name the sheet, or - for standard input.')
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

/** A path with its links followed; what is not there yet is judged by its name. */
export function real(path: string): string {
  try {
    return realpathSync(path)
  } catch {
    return dirname(path) === path ? path : join(real(dirname(path)), basename(path))
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
  EPIPE: 'its reader has gone away',
  ELOOP: 'its links run in a circle',
  ERR_INVALID_ARG_VALUE: 'its name holds a character that no name may',
}

/** Why a file could not be read or written, as the end of a sentence. */
export function reason(error: unknown): string {
  if (error instanceof TooLarge) return 'it is larger than any sheet or table may be'
  const code = codeOf(error)
  return Object.hasOwn(REASONS, code) ? REASONS[code]! : `the system says ${code || 'nothing more'}`
}

/** The system's word for what went wrong. */
export function codeOf(error: unknown): string {
  return typeof error === 'object' && error !== null && 'code' in error ? String(error.code) : ''
}
