import { independentRows } from './independent.ts'
import type { Tableau } from './kiwi.ts'
import { addRow, bounded, reordered } from './rows.ts'
import { HELD, largestMiss, type Scaled, type ScaledRow, scale, unscaled } from './scaled.ts'
import { solveLinear } from './solve.ts'
import { checkSystem, type LinearRow, type LinearSystem, type LinearVariable } from './system.ts'

/** Weights of staying where one is and of following what is dragged: no further apart, for kiwi's sake. */
const STAY = 1
const FOLLOW = 1e4
const ATTEMPTS = 5

/**
 * A linear system held true while one variable after another is dragged. The dragged one goes as near to where it is wanted as the rows
 * and bounds let it, the others move as little as they can (in shares of their ranges).
 */
export class LinearSession {
  private readonly system: LinearSystem
  private readonly scaled: Scaled
  private readonly rows: readonly ScaledRow[]
  private point: Float64Array
  private tableau: Tableau | null = null
  private held = -1
  /** How far the variable held can go (scaled), whatever the others do. */
  private reach: readonly [number, number] = [0, 0]

  constructor(system: LinearSystem, scaled: Scaled, rows: readonly ScaledRow[], x: Float64Array) {
    this.system = system
    this.scaled = scaled
    this.rows = rows
    this.point = x
  }

  /** Where the variables stand. */
  get x(): Float64Array {
    return this.point.slice()
  }

  /** Drags a variable; where the variables stand then. The rows hold there, to 1e-7 of their size. */
  suggest(variable: number, value: number): Float64Array {
    if (!Number.isFinite(value)) throw new Error(`a variable dragged to ${value}`)
    const { origin, unit, low, high } = this.scaled.axes[variable]!
    if (low === high) return this.x
    if (this.held !== variable) {
      this.tableau = null
      this.held = variable
      this.reach = this.reachOf(variable)
    }
    const wanted = Math.min(this.reach[1], Math.max(this.reach[0], (value - origin) / unit))
    const u = this.follow(variable, wanted)
    this.point = u ? unscaled(u, this.scaled, this.system.variables) : this.nearest(variable, origin + unit * wanted)
    return this.x
  }

  private reachOf(variable: number): readonly [number, number] {
    const { origin, unit, low, high } = this.scaled.axes[variable]!
    const end = (sign: number): number | null => {
      const { x } = solveLinear(this.system, [{ at: [variable], by: [sign] }])
      return x ? (x[variable]! - origin) / unit : null
    }
    return [end(1) ?? low, end(-1) ?? high]
  }

  /** By kiwi: the tableau at hand, else a new one, in another order after a failure. Null where the rows or the wish come out broken. */
  private follow(variable: number, wanted: number): Float64Array | null {
    for (let n = 0; n < ATTEMPTS; n++) {
      try {
        this.tableau ??= this.grasp(variable, n)
        this.tableau.suggest(variable, wanted)
        const u = this.tableau.read()
        // The others' staying may outweigh the wish where it moves them far: weights are no levels.
        if (largestMiss(u, this.scaled) <= HELD) return Math.abs(u[variable]! - wanted) <= 10 * HELD ? u : null
      } catch {
        // Corrupt after a throw: built anew below.
      }
      this.tableau = null
    }
    return null
  }

  /** A tableau in which everything stays where it is but for `variable`, which follows. */
  private grasp(variable: number, order: number): Tableau {
    const { axes } = this.scaled
    const tableau = bounded(this.scaled)
    for (const row of reordered(this.rows, order)) addRow(tableau, row)
    axes.forEach(({ origin, unit, low, high }, j) => {
      if (j !== variable && low !== high) tableau.add({ at: [j], by: [1] }, 0, (this.point[j]! - origin) / unit, STAY)
    })
    tableau.edit(variable, FOLLOW)
    return tableau
  }

  /** Without kiwi's edits: first as near as can be to where the variable is wanted, then the others to where they are. */
  private nearest(variable: number, value: number): Float64Array {
    const near = this.point.slice()
    near[variable] = value
    return nearest(this.system, near, variable) ?? this.point
  }
}

/** Opens a system at a point near the one given; null where its rows cannot be held, or not be told. */
export function openLinear(system: LinearSystem, near: Float64Array): LinearSession | null {
  checkSystem(system)
  const start = nearest(system, near)
  if (!start) return null
  const scaled = scale(system)
  const { rows, clash } = independentRows(scaled.rows)
  return clash === -1 ? new LinearSession(system, scaled, rows, start) : null
}

/** The point nearest to `near`: in variable `first`, if any, then in the sum of all distances, each in shares of its variable's range. */
function nearest({ variables, rows }: LinearSystem, near: Float64Array, first = -1): Float64Array | null {
  const count = variables.length
  const distances = variables.map(it => ({ low: 0, high: Number.POSITIVE_INFINITY, nominal: sizeOf(it) }))
  const sides = variables.flatMap((_, j): LinearRow[] => [
    { at: [j, count + j], by: [1, -1], low: Number.NEGATIVE_INFINITY, high: near[j]! },
    { at: [j, count + j], by: [1, 1], low: near[j]!, high: Number.POSITIVE_INFINITY },
  ])
  const sum = { at: distances.map((_, j) => count + j), by: distances.map(({ nominal }) => 1 / nominal) }
  const levels = first === -1 ? [sum] : [{ at: [count + first], by: [1] }, sum]
  const { x } = solveLinear({ variables: [...variables, ...distances], rows: [...rows, ...sides] }, levels)
  return x ? x.slice(0, count) : null
}

function sizeOf({ low, high, nominal }: LinearVariable): number {
  const width = high - low
  return width > 0 && Number.isFinite(width) ? width : nominal
}
