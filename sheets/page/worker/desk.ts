import { type MapMemory, newMapMemory, openSheet } from '../../index.ts'
import type { SheetOutline } from '../../outline.ts'
import type { Sheet } from '../../sheet.ts'
import type { VariantCell } from '../../variants/answer.ts'
import { type FilesBeside, keyOf } from '../files-beside.ts'

/** Variants solved before: what they are of, and their cells. */
export interface VariantsKept {
  readonly of: string
  readonly rows: readonly (readonly VariantCell[])[]
}

/** What a worker keeps between askings. */
export interface Desk {
  /** The sheet last opened, and its text. */
  text: string
  sheet: Sheet | null
  outline: SheetOutline | null
  /** The files that the page has been given, by name. */
  files: FilesBeside
  /** The files that the sheet names. */
  readonly named: Set<string>
  /** What the map last drawn was of: a hand on its levers leaves it as it is. The page has not taken it where it had asked anew by then. */
  mapped: { readonly stamp: number; readonly of: string; readonly inks: string; readonly rest: boolean } | null
  /** What was flown for maps: a hand on a limit flies nothing again. */
  readonly mapMemory: MapMemory
  /** The variants last solved, so that another picture of them costs nothing. */
  varied: VariantsKept | null
}

export function newDesk(): Desk {
  return {
    text: '',
    sheet: null,
    outline: null,
    files: {},
    named: new Set(),
    mapped: null,
    mapMemory: newMapMemory(),
    varied: null,
  }
}

/** Gives the worker other files: every sheet is to be opened anew. */
export function putFiles(desk: Desk, files: FilesBeside): void {
  desk.files = files
  desk.sheet = null
  desk.mapped = null
  desk.varied = null
}

/** The sheet of a text, opened once. */
export function opened(desk: Desk, text: string): Sheet {
  if (desk.sheet === null || desk.text !== text) {
    desk.named.clear()
    const sheet = openSheet(text, {
      name: 'sheet',
      load: path => {
        desk.named.add(path)
        return fileOf(desk.files, path)
      },
    })
    for (const file of sheet.variantFiles) if (file !== null) desk.named.add(file)
    desk.sheet = sheet
    desk.text = text
    desk.outline = null
  }
  return desk.sheet
}

/** A file by its name as the sheet writes it; a page knows no folders, so that its own name will do as well. */
export function fileOf(files: FilesBeside, path: string): string {
  const name = keyOf(files, path)
  if (name !== null) return files[name]!
  throw new Error(
    'the page does not have it yet. Drop it on the page or choose it with Open; or write its rows into the sheet.',
  )
}
