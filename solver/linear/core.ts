import { solveLinear } from './solve.ts'
import type { LinearSystem } from './system.ts'

/**
 * Of the `groups` of rows (places in `system.rows`) some that cannot be held together with the bounds, none of which could be left out
 * of them: rows in no group always stay. Null where all can be held, or it cannot be told. Gives places in `groups`.
 */
export function contradiction(system: LinearSystem, groups: readonly (readonly number[])[]): number[] | null {
  const grouped = new Set(groups.flat())
  const clashes = (kept: readonly number[]): readonly number[] | null => {
    const places = new Set(kept.flatMap(g => groups[g]!))
    const rows = system.rows.map((_, k) => k).filter(k => places.has(k) || !grouped.has(k))
    const { status, multipliers } = solveLinear({ ...system, rows: rows.map(k => system.rows[k]!) })
    if (status !== 'infeasible') return null
    const blamed = new Set(rows.filter((_, k) => multipliers[k] !== 0))
    return kept.filter(g => groups[g]!.some(k => blamed.has(k)))
  }
  let kept: readonly number[] | null = clashes([...groups.keys()])
  if (!kept) return null
  // A proof names the rows it needs, so a group outside it is dropped at once; the rest are tried one by one.
  for (let tried = 0; tried < kept.length; ) {
    const without: readonly number[] = kept.filter((_, k) => k !== tried)
    const fewer = clashes(without)
    if (fewer) kept = kept.slice(0, tried).every(g => fewer.includes(g)) ? fewer : without
    else tried++
  }
  return [...kept]
}
