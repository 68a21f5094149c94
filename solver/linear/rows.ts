import { type Constraint, Tableau } from './kiwi.ts'
import type { Scaled, ScaledRow } from './scaled.ts'

/** A tableau with nothing in it but the bounds. Variables without width are left free: no row reads them. */
export function bounded({ axes }: Scaled): Tableau {
  const tableau = new Tableau(axes.length)
  axes.forEach(({ low, high }, j) => {
    const form = { at: [j], by: [1] }
    if (low === high) return
    if (Number.isFinite(low)) tableau.add(form, 1, low)
    if (Number.isFinite(high)) tableau.add(form, -1, high)
  })
  return tableau
}

/** The constraints that a row became. */
export interface Sides {
  readonly low: Constraint | null
  readonly high: Constraint | null
  readonly both: Constraint | null
}

/** Adds a row: required, or at a weight. */
export function addRow(tableau: Tableau, row: ScaledRow, weight?: number): Sides {
  const { low, high } = row
  if (low === high && weight === undefined) return { low: null, high: null, both: tableau.add(row, 0, low) }
  return {
    low: Number.isFinite(low) ? tableau.add(row, 1, low, weight) : null,
    high: Number.isFinite(high) ? tableau.add(row, -1, high, weight) : null,
    both: null,
  }
}

/** The same rows in the n-th of a fixed set of orders: as given, turned round, then with ever larger strides. */
export function reordered<T>(items: readonly T[], n: number): readonly T[] {
  if (n === 0) return items
  if (n === 1) return [...items].reverse()
  return Array.from({ length: n }, (_, first) => items.filter((__, k) => k % n === first)).flat()
}
