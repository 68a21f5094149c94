/** How variants files are read: a row of a wrong length is a bad row and no end; lines that begin with # are comments. */
export const CSV = {
  bom: true,
  comment: '#',
  comment_no_infix: true,
  skip_empty_lines: true,
  trim: true,
  relax_column_count: true,
  relax_quotes: true,
} as const

const STRAY = 'CSV_NON_TRIMABLE_CHAR_AFTER_CLOSING_QUOTE'

const FAULTS: Readonly<Record<string, string>> = {
  CSV_QUOTE_NOT_CLOSED: 'a quote is opened and never closed',
  CSV_MAX_RECORD_SIZE: 'a quote is opened and not closed for a million characters',
  [STRAY]: 'something stands between a closing quote and the next comma',
}

/** Why a variants file cannot be read on, as the end of a sentence. */
export function csvFault(error: unknown): string {
  if (!(error instanceof Error)) return 'it is no CSV'
  const code = 'code' in error ? String(error.code) : ''
  if (!Object.hasOwn(FAULTS, code)) return error.message.replace(/\.$/, '')
  // Of a quote that is not closed only the line is told where looking for its end was given up.
  const line = code === STRAY && 'lines' in error ? ` in line ${String(error.lines)}` : ''
  return `${FAULTS[code]}${line}`
}
