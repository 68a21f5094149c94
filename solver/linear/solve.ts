import { independentRows } from './independent.ts'
import type { Tableau } from './kiwi.ts'
import { addRow, bounded, reordered, type Sides } from './rows.ts'
import { HELD, largestMiss, type Scaled, type ScaledRow, scale, scaleForm, span, unscaled } from './scaled.ts'
import { checkForm, checkSystem, type Form, formValue, type LinearSystem } from './system.ts'

export interface LinearResult {
  /**
   * optimal: every row holds at `x` and no point is better, level by level. infeasible: no point holds every row. unbounded: the
   * first level has no least value. unsure: the numbers were too ill-sorted to say.
   */
  readonly status: 'optimal' | 'infeasible' | 'unbounded' | 'unsure'
  /** The point found, inside the bounds; null unless optimal. */
  readonly x: Float64Array | null
  /**
   * For each row, what the last level's value gains per unit of its bound: positive for a lower, negative for an upper one that holds it.
   * Where infeasible: weights whose sum of the rows contradicts the bounds. Approximate; whoever proves something by them verifies.
   */
  readonly multipliers: Float64Array
}

/** Insertion orders tried before giving up. */
const ATTEMPTS = 5
/** Where a form has no lower bound its least value is sought above this (in scaled units). */
const FLOOR = -1e6
/** How much a level may give way once it is frozen, in scaled units. */
const FROZEN = 1e-9

/**
 * Finds the point that makes the first form least, among those the second, and so on, with all rows held: linear programs on kiwi.js,
 * scaled, verified, rebuilt in another order where one throws or a row comes out broken. With no forms any point that holds the rows.
 */
export function solveLinear(system: LinearSystem, levels: readonly Form[] = []): LinearResult {
  checkSystem(system)
  for (const level of levels) checkForm(level, system.variables.length)
  const scaled = scale(system)
  const multipliers = new Float64Array(system.rows.length)
  if (scaled.impossible !== -1 || scaled.axes.some(({ low, high }) => low > high)) {
    if (scaled.impossible !== -1) multipliers[scaled.impossible] = blame(system, scaled.impossible)
    return { status: 'infeasible', x: null, multipliers }
  }
  if (!scaled.sound) return { status: 'unsure', x: null, multipliers }
  const { rows, clash } = independentRows(scaled.rows)
  const frozen: ScaledRow[] = []
  const goals = levels.map(level => goalOf(level, scaled))
  let u: Float64Array | null = null
  for (const goal of goals.length > 0 ? goals : [null]) {
    const found = clash === -1 ? attempt(scaled, [...rows, ...frozen], goal) : null
    if (!found) return elastic(system, scaled)
    u = found.u
    multipliers.fill(0)
    for (const [row, price] of found.prices)
      if (row.place >= 0) multipliers[row.place]! += (price * goal!.size) / row.size
    if (!goal) continue
    const value = formValue(goal.form, u)
    if (goal.floor === FLOOR && value < FLOOR / 2) return { status: 'unbounded', x: null, multipliers }
    frozen.push({ ...goal.form, low: Number.NEGATIVE_INFINITY, high: value + FROZEN, place: -1, size: 1 })
  }
  return { status: 'optimal', x: unscaled(u!, scaled, system.variables), multipliers }
}

/** Whether the row is broken from above or below all over the bounds: the sign of its weight in the contradiction. */
function blame({ variables, rows }: LinearSystem, place: number): number {
  const { low, at, by } = rows[place]!
  const most = at.reduce((sum, j, k) => sum + Math.max(by[k]! * variables[j]!.low, by[k]! * variables[j]!.high), 0)
  return most < low ? 1 : -1
}

/** A level's form with its largest coefficient ±1, and a value that it never goes under. */
interface Goal {
  readonly form: Form
  readonly size: number
  readonly floor: number
}

function goalOf(level: Form, { axes }: Scaled): Goal | null {
  const { form } = scaleForm(level, axes)
  const size = Math.max(...form.by.map(Math.abs), 0)
  if (size === 0) return null
  const unit = { at: form.at, by: form.by.map(c => c / size) }
  const [least] = span(unit, axes)
  return { form: unit, size, floor: Number.isFinite(least) ? least : FLOOR }
}

interface Solved {
  readonly u: Float64Array
  /** What the goal gains per scaled unit of each row, signed as in LinearResult. */
  readonly prices: readonly (readonly [ScaledRow, number])[]
}

/** One goal at its least with the rows held, or null where no order of insertion gives a point that holds them. */
function attempt(scaled: Scaled, rows: readonly ScaledRow[], goal: Goal | null): Solved | null {
  for (let n = 0; n < ATTEMPTS; n++) {
    try {
      const tableau = bounded(scaled)
      const held = reordered(rows, n).map(row => ({ row, sides: addRow(tableau, row) }))
      if (goal) tableau.add(goal.form, -1, goal.floor, 1)
      const u = tableau.read()
      if (largestMiss(u, { ...scaled, rows }) > HELD) continue
      return { u, prices: goal ? held.map(({ row, sides }) => [row, sidePrice(tableau, sides)] as const) : [] }
    } catch {
      // The tableau is corrupt now; another is built.
    }
  }
  return null
}

/** A row's symbol is form − low on its lower side, high − form on its upper one and for an equation. */
function sidePrice(tableau: Tableau, { low, high, both }: Sides): number {
  if (both) return -tableau.price(both)
  return (low ? tableau.price(low) : 0) - (high ? tableau.price(high) : 0)
}

/**
 * Asks whether the rows can be held at all, by the least sum of what breaks them: that program always has a point.
 * A sum above nothing says that they cannot; nothing, that it was the numbers.
 */
function elastic(system: LinearSystem, scaled: Scaled): LinearResult {
  const multipliers = new Float64Array(system.rows.length)
  for (let n = 0; n < ATTEMPTS; n++) {
    try {
      const tableau = bounded(scaled)
      const soft = reordered(scaled.rows, n).map(row => ({ row, sides: addRow(tableau, row, 1) }))
      const u = tableau.read()
      if (largestMiss(u, { ...scaled, rows: [] }) > HELD) continue
      if (largestMiss(u, scaled) <= 10 * HELD) return { status: 'unsure', x: null, multipliers }
      const weights = soft.map(({ row, sides }) => [row, sidePrice(tableau, sides)] as const)
      if (!contradicts(weights, scaled)) continue
      for (const [row, weight] of weights) multipliers[row.place] = weight / row.size
      return { status: 'infeasible', x: null, multipliers }
    } catch {
      // As in `attempt`.
    }
  }
  return { status: 'unsure', x: null, multipliers }
}

/** Whether rows, weighted and summed, ask for more than any point inside the bounds can give. */
function contradicts(weights: readonly (readonly [ScaledRow, number])[], { axes }: Scaled): boolean {
  const sum = new Map<number, number>()
  let [asked, size] = [0, 0]
  for (const [{ at, by, low, high }, weight] of weights) {
    if (weight === 0) continue
    asked += weight * (weight > 0 ? low : high)
    size += Math.abs(weight)
    at.forEach((j, k) => {
      sum.set(j, (sum.get(j) ?? 0) + weight * by[k]!)
    })
  }
  // Where a variable is unbounded, what is left of its coefficient by rounding must not count.
  const parts = [...sum].filter(([j, c]) => Math.abs(c) > 1e-9 * size || Number.isFinite(axes[j]!.high - axes[j]!.low))
  const [, most] = span({ at: parts.map(([j]) => j), by: parts.map(([, c]) => c) }, axes)
  return asked - most > HELD * size
}
