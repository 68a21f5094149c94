import type { FlightAnswer } from '../answer.ts'

/** A time history as the rows of a CSV file: headers `name [unit]`, then numbers in full; no value is an empty cell. */
export function historyTable(history: FlightAnswer['history']): readonly (readonly string[])[] {
  const headers = history.columns.map((name, place) => {
    const unit = history.units[place] ?? ''
    return unit === '' ? name : `${name} [${unit}]`
  })
  return [headers, ...history.rows.map(row => Array.from(row, cell))]
}

function cell(value: number): string {
  if (Number.isNaN(value)) return ''
  return Number.isFinite(value) ? String(value) : value > 0 ? 'infinity' : '-infinity'
}
