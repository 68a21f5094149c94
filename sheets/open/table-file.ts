import { parse as parseCsv } from 'csv-parse/browser/esm/sync'
import { CSV, cellsOf, csvFault } from './csv.ts'

/** What a file of a table holds: the names of its columns, and its rows of numbers as written. */
export interface TableFile {
  readonly head: readonly string[]
  readonly rows: readonly (readonly string[])[]
}

/** Most rows that one table may have. */
const MOST_ROWS = 100_000
/** A file that is wrong throughout is told of by its first rows. */
const MOST_TOLD = 8

const COLUMNS_WANTED =
  'Its first row names the columns, with units in brackets, such as altitude [km]; numbers with commas between them follow.'

type Say = (message: string, mend: string) => null

/** Reads the text of a table's file; what is wrong with it is said, and then there is none. */
export function tableFile(named: string, text: string, mostColumns: number, say: Say): TableFile | null {
  // What is no text, as what a spreadsheet keeps is none, or text with two bytes to each letter, has such a character sooner or later.
  if (text.includes('\0'))
    return say(`"${named}" is no text that can be read here.`, 'Save it as CSV, in UTF-8, and name that file.')
  const records = recordsOf(named, text, say)
  if (records === null) return null
  const [first, ...others] = records
  if (!first) return say(`The file "${named}" is empty.`, COLUMNS_WANTED)
  const head = first.cells
  const apart = head.length === 1 ? /[;\t]/.exec(head[0]!)?.[0] : undefined
  if (apart !== undefined)
    return say(
      `The columns of "${named}" stand apart by ${apart === ';' ? 'semicolons' : 'tabs'}.`,
      'Put commas there, and points into its numbers where they have commas.',
    )
  if (head.length < 2 || head.length > mostColumns)
    return say(`A table's file has two columns, one of air up to four; "${named}" has ${head.length}.`, COLUMNS_WANTED)
  if (others.length > MOST_ROWS)
    return say(
      `"${named}" has over ${MOST_ROWS.toLocaleString('en')} rows, more than a table may have.`,
      'Leave rows out where the curve runs smoothly.',
    )
  sayBad(named, head, others, say)
  return { head, rows: others.map(({ cells }) => cells) }
}

/** A row of a file, with the line on which it ends. */
interface Row {
  readonly line: number
  readonly cells: readonly string[]
}

function recordsOf(named: string, text: string, say: Say): readonly Row[] | null {
  try {
    const records = parseCsv(text, { ...CSV, info: true, to: MOST_ROWS + 2 }) as unknown as readonly {
      record: string[]
      info: { lines: number }
    }[]
    return records.map(({ record, info }) => ({ line: info.lines, cells: cellsOf(record).map(cell => cell.trim()) }))
  } catch (fault) {
    return say(`The file "${named}" could not be read: ${csvFault(fault)}.`, 'Close the quote, or take it out.')
  }
}

const NUMBER = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?$/i

/** Says what is wrong with rows: the first few of them, and how many more there are. */
function sayBad(named: string, head: readonly string[], rows: readonly Row[], say: Say): void {
  let told = 0
  for (const { line, cells } of rows) {
    const bad = cells.find(cell => !NUMBER.test(cell) || !Number.isFinite(Number(cell)))
    if (cells.length === head.length && bad === undefined) continue
    if (++told > MOST_TOLD) continue
    if (cells.length !== head.length)
      say(
        `Row ${line} of "${named}" has ${cells.length === 1 ? '1 cell' : `${cells.length} cells`} where its first row has ${head.length}.`,
        'A comma is missing there or is one too many: numbers take a point, not a comma.',
      )
    else
      say(`Row ${line} of "${named}" has "${bad}" where a number belongs.`, 'Put a number there, or take the row out.')
  }
  if (told > MOST_TOLD)
    say(
      `So have ${(told - MOST_TOLD).toLocaleString('en')} more rows of "${named}".`,
      'Look at the file as a whole: most likely one and the same thing is wrong with all of them.',
    )
}
