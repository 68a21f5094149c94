import { createReadStream, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parse } from 'csv-parse'
import type { VariantCell } from '../variants/answer.ts'
import { cellFrom } from '../variants/written.ts'
import { MOST_BOOK_ROWS, rowsBook } from '../workbook/rows-book.ts'
import { say } from './messages.ts'
import { Refusal, type Shell, STATUS, type Status } from './shell.ts'
import { variantRows } from './variants.ts'
import { overfull } from './variants-places.ts'
import { endedBy } from './variants-stop.ts'
import type { VariantsOptions } from './variants-words.ts'
import { writeXlsx } from './xlsx.ts'

type BookOptions = VariantsOptions & { readonly out: string }

/** `variants FILE --out x.xlsx`: the rows are solved into a file of their own first, then written as one spreadsheet. */
export async function variantsBook(files: readonly string[], options: BookOptions, shell: Shell): Promise<Status> {
  if (options.resume)
    throw new Refusal('--resume goes on with a .csv or .ndjson file; a spreadsheet is written at once.')
  const folder = mkdtempSync(join(tmpdir(), 'loftsheet-rows-'))
  const ended = await bookBy(folder, files, options, shell).finally(() =>
    rmSync(folder, { recursive: true, force: true }),
  )
  return typeof ended === 'number' ? ended : endedBy(ended)
}

/** The status, or the signal that stopped it. */
async function bookBy(
  folder: string,
  files: readonly string[],
  options: BookOptions,
  shell: Shell,
): Promise<Status | NodeJS.Signals> {
  const path = join(folder, 'rows.csv')
  const ended = await variantRows(files, { ...options, out: path, book: options.out }, shell)
  if (ended !== STATUS.done) return ended
  const [head, ...rows] = await read(path)
  await writeXlsx(
    rowsBook(
      (head ?? []).map(header => ({ header })),
      rows.map(row => row.map((cell): VariantCell => cellFrom(cell))),
    ),
    options.out,
    shell,
  )
  say(shell, `${options.out} holds the variants as a spreadsheet.`)
  return STATUS.done
}

async function read(path: string): Promise<string[][]> {
  const rows: string[][] = []
  for await (const row of createReadStream(path).pipe(parse())) {
    rows.push(row as string[])
    if (rows.length > MOST_BOOK_ROWS + 1) throw overfull()
  }
  return rows
}
