import { createReadStream } from 'node:fs'
import { parse } from 'csv-parse'
import type { VariantCell } from '../variants/answer.ts'
import { cellFrom } from '../variants/written.ts'
import { MOST_BOOK_ROWS, rowsBook } from '../workbook/rows-book.ts'
import type { Whole } from './variants-apart.ts'
import { overfull } from './variants-places.ts'
import { writeXlsx } from './xlsx.ts'

/** Variants as one spreadsheet. */
export function bookOf(out: string): Whole {
  return {
    kind: 'spreadsheet',
    rows: 'csv',
    write: async (path, _, shell) => {
      const [head, ...rows] = await read(path)
      await writeXlsx(
        rowsBook(
          (head ?? []).map(header => ({ header })),
          rows.map(row => row.map((cell): VariantCell => cellFrom(cell))),
        ),
        out,
        shell,
      )
    },
  }
}

async function read(path: string): Promise<string[][]> {
  const rows: string[][] = []
  for await (const row of createReadStream(path).pipe(parse())) {
    rows.push(row as string[])
    if (rows.length > MOST_BOOK_ROWS + 1) throw overfull()
  }
  return rows
}
