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
  if (format === 'csv') return rows.map(row => `${rowCsv(row, columns)}\n`).join('')
  return rows.map(row => `${rowJson(row, columns)}\n`).join('')
}

/** Most cells need no quotes; a general writer looks at each of them for much longer than they take to make. */
function rowCsv(row: readonly VariantCell[], columns: readonly VariantColumn[]): string {
  let text = ''
  for (let place = 0; place < row.length; place++) {
    const cell = written(row[place]!, columns[place]!.role)
    if (place > 0) text += ','
    if (typeof cell === 'number') text += cell
    else if (cell !== null) text += /[",\r\n]/.test(cell) ? stringify([[cell]]).slice(0, -1) : cell
  }
  return text
}

/** Words of somebody's own that a spreadsheet would take for a formula get an apostrophe before them, and those that would look like that one more. */
function written(cell: VariantCell, role: VariantColumn['role']): VariantCell {
  const foreign = typeof cell === 'string' && (role === 'varied' || role === 'problem' || role === 'block')
  return foreign && /^'*[=+\-@\t]/.test(cell) ? `'${cell}` : cell
}

/** One row as a JSON object on one line. */
export function rowJson(row: readonly VariantCell[], columns: readonly VariantColumn[]): string {
  return JSON.stringify(Object.fromEntries(columns.map(({ header }, place) => [header, row[place]])))
}

const NUMBER = /^-?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?$/i

/** A cell as it was before it was written to a CSV file. Only what a number is written as is one: "007" and "1e3" are words. */
export function cellFrom(text: string): VariantCell {
  if (text === '') return null
  return NUMBER.test(text) && String(Number(text)) === text ? Number(text) : text.replace(/^'(?='*[=+\-@\t])/, '')
}
