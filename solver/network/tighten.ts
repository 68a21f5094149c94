import * as interval from '../interval/index.ts'
import { type LinearSystem, solveLinear } from '../linear/index.ts'
import { type Affine, combine, constant } from './affine.ts'

/** Programs larger than this (rows times columns) are left to the intervals. */
const MOST_CELLS = 20_000
const out = new Float64Array(2)

/** Bounds of the columns, narrowed in place. */
export interface Bounds {
  readonly low: Float64Array
  readonly high: Float64Array
}

/** Narrows bounds by each row f ≥ 0 by itself, twice over. False: no point inside the bounds holds the rows. */
export function tightenByRows(rows: readonly Affine[], bounds: Bounds): boolean {
  return [0, 1].every(() => rows.every(row => byRow(row, bounds)))
}

/**
 * Narrows the bounds of `wanted` columns by linear programs over all rows f ≥ 0, whose multipliers are taken for a proof that is worked out
 * anew in intervals, so that a program's own rounding cuts nothing off. False: no point inside the bounds holds the rows.
 */
export function tightenByPrograms(rows: readonly Affine[], bounds: Bounds, wanted: readonly number[]): boolean {
  if (rows.length * bounds.low.length > MOST_CELLS) return true
  return wanted.every(column => byProgram(rows, bounds, column, 1) && byProgram(rows, bounds, column, -1))
}

/** Each column from what the others can give at most. */
function byRow(row: Affine, bounds: Bounds): boolean {
  const { low, high } = bounds
  const terms = row.at.map((j, k) => {
    interval.mul(out, row.low[k]!, row.high[k]!, low[j]!, high[j]!)
    return out[1]!
  })
  const infinite = terms.filter(term => term === Number.POSITIVE_INFINITY).length
  const finite = terms.reduce(
    (sum, term) => (term === Number.POSITIVE_INFINITY ? sum : interval.up(sum + term)),
    row.most,
  )
  if (infinite === 0 && finite < 0) return false
  for (const [k, j] of row.at.entries()) {
    const own = terms[k]!
    if (infinite > (own === Number.POSITIVE_INFINITY ? 1 : 0)) continue
    // coefficient·x ≥ −(all the rest at its most).
    const rest = row.at.reduce((sum, _, i) => (i === k ? sum : interval.up(sum + terms[i]!)), row.most)
    const [cl, ch] = [row.low[k]!, row.high[k]!]
    if (cl > 0) low[j] = Math.max(low[j]!, atLeast(-rest, cl, ch))
    else if (ch < 0) high[j] = Math.min(high[j]!, -atLeast(-rest, -ch, -cl))
    if (low[j]! > high[j]!) return false
  }
  return true
}

/** The least x with c·x ≥ asked for some c from cl > 0 to ch. */
function atLeast(asked: number, cl: number, ch: number): number {
  return interval.down(asked / (asked > 0 ? ch : cl))
}

/** One end of a column by a linear program over all rows; false where that shows that there is no point. */
function byProgram(rows: readonly Affine[], bounds: Bounds, column: number, sign: 1 | -1): boolean {
  const { low, high } = bounds
  if (!(low[column]! < high[column]!)) return true
  const { status, multipliers } = solveLinear(programOf(rows, bounds), [{ at: [column], by: [sign] }])
  const weights = multipliers.map(y => Math.max(0, y))
  if (status === 'infeasible') return !(most(weighted(rows, weights), bounds) < 0)
  if (status !== 'optimal') return true
  // sign·x ≥ sign·x − Σ y·f, for f ≥ 0 and y ≥ 0, and the right side is bounded by what it can be anywhere.
  const lever = { at: [column], low: [sign], high: [sign], least: 0, most: 0 }
  const least = -most(combine(weighted(rows, weights), 1, 1, lever, -1, -1), bounds)
  if (sign === 1) low[column] = Math.max(low[column]!, least)
  else high[column] = Math.min(high[column]!, -least)
  return low[column]! <= high[column]!
}

function weighted(rows: readonly Affine[], weights: Float64Array): Affine {
  let sum = constant(0, 0)
  rows.forEach((row, r) => {
    if (weights[r]! > 0) sum = combine(sum, 1, 1, row, weights[r]!, weights[r]!)
  })
  return sum
}

/** The most that a form can be inside the bounds. */
function most(form: Affine, { low, high }: Bounds): number {
  return form.at.reduce((sum, j, k) => {
    interval.mul(out, form.low[k]!, form.high[k]!, low[j]!, high[j]!)
    return interval.up(sum + out[1]!)
  }, form.most)
}

/** The rows as numbers, for the program; what is lost by that is found in the proof. */
function programOf(rows: readonly Affine[], { low, high }: Bounds): LinearSystem {
  return {
    variables: Array.from(low, (least, j) => ({ low: least, high: high[j]!, nominal: sizeOf(least, high[j]!) })),
    rows: rows.map(row => ({
      at: row.at,
      by: row.at.map((_, k) => 0.5 * row.low[k]! + 0.5 * row.high[k]!),
      low: -row.most,
      high: Number.POSITIVE_INFINITY,
    })),
  }
}

/** A usual size for a column whose bounds may be infinite. */
function sizeOf(low: number, high: number): number {
  const sizes = [Math.abs(low), Math.abs(high)].filter(size => size > 0 && Number.isFinite(size))
  return sizes.length > 0 ? Math.max(...sizes) : 1
}
