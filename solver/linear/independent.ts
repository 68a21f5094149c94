import type { ScaledRow } from './scaled.ts'

/** What is left of an equation counts as nothing below this. */
const NOTHING = 1e-9
/** A right-hand side that far from what the others imply contradicts them. */
const CONTRADICTS = 1e-7

/** The rows without the equations that follow from others, for kiwi fails on those; `clash` is one that contradicts the others, −1 if none. */
export function independentRows(rows: readonly ScaledRow[]): { rows: readonly ScaledRow[]; clash: number } {
  // Each pivot row: its equation reduced by those before it, solved for one variable.
  const pivots: { variable: number; by: Map<number, number>; value: number }[] = []
  const kept: ScaledRow[] = []
  for (const row of rows) {
    if (row.low !== row.high) {
      kept.push(row)
      continue
    }
    const by = new Map(row.at.map((j, k) => [j, row.by[k]!]))
    let value = row.low
    for (const pivot of pivots) {
      const factor = by.get(pivot.variable) ?? 0
      if (factor === 0) continue
      for (const [j, c] of pivot.by) by.set(j, (by.get(j) ?? 0) - factor * c)
      by.delete(pivot.variable)
      value -= factor * pivot.value
    }
    let variable = -1
    for (const [j, c] of by) if (variable === -1 || Math.abs(c) > Math.abs(by.get(variable)!)) variable = j
    const size = variable === -1 ? 0 : Math.abs(by.get(variable)!)
    if (size <= NOTHING) {
      if (Math.abs(value) > CONTRADICTS) return { rows: kept, clash: row.place }
      continue
    }
    const lead = by.get(variable)!
    pivots.push({ variable, by: new Map([...by].map(([j, c]) => [j, c / lead])), value: value / lead })
    kept.push(row)
  }
  return { rows: kept, clash: -1 }
}
