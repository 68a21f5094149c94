import type { VariantCell, VariantColumn } from '../variants/answer.ts'
import { heading, number, type WorkbookSheet } from './workbook.ts'

/** More rows than this do not fit one sheet of a spreadsheet (ECMA-376: 1,048,576 with the heading), nor, written at once, a small memory. */
export const MOST_BOOK_ROWS = 200_000

/** The rows of variants as a spreadsheet, units in the headers. */
export function rowsBook(
  columns: readonly Pick<VariantColumn, 'header'>[],
  rows: readonly (readonly VariantCell[])[],
): readonly WorkbookSheet[] {
  return [
    {
      name: 'variants',
      rows: [heading(...columns.map(({ header }) => header)), ...rows.map(row => row.map(number))],
      widths: columns.map(({ header }) => Math.min(40, Math.max(10, header.length + 2))),
    },
  ]
}
