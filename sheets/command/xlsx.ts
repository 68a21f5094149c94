import { resolve } from 'node:path'
import writeBook, { type Sheet } from 'write-excel-file/node'
import { writerSheets } from '../workbook/cells.ts'
import type { WorkbookSheet } from '../workbook/workbook.ts'
import type { Shell } from './shell.ts'
import { writeWhole } from './writing.ts'

/** Writes a spreadsheet, whole or not at all. */
export async function writeXlsx(book: readonly WorkbookSheet[], out: string, shell: Shell): Promise<void> {
  const written = writeBook(writerSheets(book) as unknown as Sheet<never>[])
  writeWhole(resolve(shell.folder, out), out, await written.toBuffer())
}
