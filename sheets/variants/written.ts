import { stringify } from 'csv-stringify/browser/esm/sync'
import type { VariantCell, VariantColumn } from './answer.ts'

/** How rows are written: CSV with a first row of headers, or one JSON object a line. */
export type RowFormat = 'csv' | 'ndjson'

/** The first row of a CSV file; nothing before lines of JSON. */
export function headText(columns: readonly VariantColumn[], format: RowFormat): string {
  return format === 'csv' ? stringify([columns.map(column => column.header)]) : ''
}

/** Rows as text, each on one line. */
export function rowsText(
  rows: readonly (readonly VariantCell[])[],
  columns: readonly VariantColumn[],
  format: RowFormat,
): string {
  if (format === 'csv') return stringify(rows.map(row => row.map((cell, place) => written(cell, columns[place]!.role))))
  return rows.map(row => `${rowJson(row, columns)}\n`).join('')
}

/** Words of somebody's own that a spreadsheet would take for a formula get an apostrophe before them. */
function written(cell: VariantCell, role: VariantColumn['role']): VariantCell {
  const foreign = typeof cell === 'string' && (role === 'varied' || role === 'problem' || role === 'block')
  return foreign && /^[=+\-@\t]/.test(cell) ? `'${cell}` : cell
}

/** One row as a JSON object on one line. */
export function rowJson(row: readonly VariantCell[], columns: readonly VariantColumn[]): string {
  return JSON.stringify(Object.fromEntries(columns.map(({ header }, place) => [header, row[place]])))
}

const NUMBER = /^-?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?$/i

/** A cell as it was before it was written to a CSV file. */
export function cellFrom(text: string): VariantCell {
  if (text === '') return null
  return NUMBER.test(text) ? Number(text) : text.replace(/^'(?=[=+\-@\t])/, '')
}
