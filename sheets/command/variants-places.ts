import { resolve } from 'node:path'
import type { Variants } from '../variants/answer.ts'
import { MOST_BOOK_ROWS } from '../workbook/rows-book.ts'
import type { SheetFile } from './files.ts'
import { Refusal, type Shell } from './shell.ts'
import type { Opening } from './variants-crew.ts'
import { wholeKind } from './variants-kinds.ts'
import type { VariantsOptions, Wanted } from './variants-words.ts'
import { refusePlace } from './writing.ts'

/** What a run reads. */
interface Reads {
  readonly file: SheetFile
  readonly opening: Pick<Opening, 'texts'>
  readonly paths: readonly (string | null)[]
  readonly answer: Pick<Variants, 'blocks'>
}

/** Refuses, before anything is solved, to write where a file is read, where no folder is, or more than a spreadsheet holds. */
export function refusePlaces(
  { file, opening, paths, answer }: Reads,
  { share: [, n], only }: Wanted,
  { out, book, picture }: VariantsOptions,
  shell: Shell,
): void {
  const tables = Object.keys(opening.texts).map(named => resolve(file.folder, named))
  const read = [file.path, ...paths, ...tables].filter(path => path !== null)
  for (const named of [book ?? out, picture]) refusePlace(named, read, shell)
  // Rows of a file are counted as they are read.
  const surely = answer.blocks.reduce((sum, { count }) => sum + (count ?? 0), 0)
  const spread = book !== undefined && wholeKind(book) === 'spreadsheet'
  if (spread && only === null && surely > MOST_BOOK_ROWS * n) throw overfull()
}

/** The rows do not fit a spreadsheet. */
export function overfull(): Refusal {
  return new Refusal(
    `These are more than ${MOST_BOOK_ROWS.toLocaleString('en')} variants, the most that a spreadsheet holds here; write a .csv file.`,
  )
}
