import { readFileSync } from 'node:fs'
import { parse } from 'csv-parse/sync'

export type AirRow = Readonly<Record<string, string>>

/** The rows of a table of the 1976 standard; which values were read and which are from memory stands in the last column. */
export function airRows(file: string): AirRow[] {
  return parse(readFileSync(`test/physics/data/${file}`, 'utf8'), {
    columns: true,
    comment: '#',
    comment_no_infix: true,
  })
}
