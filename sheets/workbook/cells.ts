import type { WorkbookCell, WorkbookSheet } from './workbook.ts'

/** One sheet as the writer of spreadsheets takes it. */
export interface WriterSheet {
  readonly data: readonly (readonly WriterCell[])[]
  readonly sheet: string
  readonly columns: readonly { readonly width: number }[]
  readonly stickyRowsCount: number
}

type WriterCell = {
  readonly value: string | number
  readonly type: NumberConstructor | StringConstructor | 'Formula'
  readonly fontWeight?: 'bold'
} | null

/** The sheets in the form that the library writes, in Node and in a browser alike. */
export function writerSheets(book: readonly WorkbookSheet[]): readonly WriterSheet[] {
  return book.map(({ name, rows, widths }) => ({
    data: rows.map(row => row.map(writerCell)),
    sheet: name,
    columns: widths.map(width => ({ width })),
    stickyRowsCount: 1,
  }))
}

function writerCell(cell: WorkbookCell): WriterCell {
  if (cell === null) return null
  switch (cell.kind) {
    case 'number':
      return { value: cell.value, type: Number }
    case 'formula':
      // In the file a formula stands without its equals sign (ECMA-376, part 1, 18.3.1.40).
      return { value: cell.value.replace(/^=/, ''), type: 'Formula' }
    case 'words':
      return { value: cell.value, type: String, ...(cell.strong ? { fontWeight: 'bold' as const } : {}) }
  }
}
