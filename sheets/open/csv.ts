/** How files of tables and variants are read: a row of a wrong length is a bad row and no end; lines that begin with # are comments. */
export const CSV = {
  bom: true,
  comment: '#',
  comment_no_infix: true,
  skip_empty_lines: true,
  ltrim: true,
  relax_column_count: true,
  // Quotes that do not hold a whole cell are signs like others: what they make of the cell is for its row to say.
  relax_quotes: true,
} as const

/** The cells of a row as they are meant: without the blanks behind them, and without quotes that only blanks kept from closing a cell. */
export function cellsOf(row: readonly string[]): string[] {
  return row.map(cell => {
    const words = cell.trimEnd()
    // Of quotes inside the parser has taken one of each two already.
    const inner = words === cell ? null : /^"(.*)"$/s.exec(words)
    return inner ? inner[1]!.trim() : words
  })
}

const FAULTS: Partial<Record<string, string>> = {
  CSV_QUOTE_NOT_CLOSED: 'a quote is opened and never closed',
  CSV_MAX_RECORD_SIZE: 'a quote is opened and not closed for a million characters',
}

/** Why a CSV file cannot be read on, as the end of a sentence. */
export function csvFault(error: unknown): string {
  if (!(error instanceof Error)) return 'it is no CSV'
  const code = 'code' in error ? String(error.code) : ''
  return FAULTS[code] ?? error.message.replace(/\.$/, '')
}
