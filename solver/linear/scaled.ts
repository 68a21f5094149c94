import type { Form, LinearSystem, LinearVariable } from './system.ts'

/** A scaled coefficient smaller than this, beside one of size 1, is more than kiwi's absolute 1e-8 can be trusted with. */
const SMALLEST = 1e-6
/** How far a scaled row or bound may be missed and still count as held. */
export const HELD = 1e-7

/** A variable as the solver sees it: x = origin + unit · u. */
interface Axis {
  readonly origin: number
  readonly unit: number
  /** Bounds of u, infinite where open. */
  readonly low: number
  readonly high: number
}

/** A row over u, its largest coefficient ±1. */
export interface ScaledRow extends Form {
  readonly low: number
  readonly high: number
  /** Its place among the system's rows. */
  readonly place: number
  /** One unit of it, in the row's own terms. */
  readonly size: number
}

export interface Scaled {
  readonly axes: readonly Axis[]
  readonly rows: readonly ScaledRow[]
  /** A row that no point inside the bounds can hold, −1 if none. */
  readonly impossible: number
  /** Whether all coefficients are of a size that can be trusted. */
  readonly sound: boolean
}

/** What a variable is measured by: the width of its range where that is finite, from its lower end. */
function axisOf({ low, high, nominal }: LinearVariable): Axis {
  const width = high - low
  if (Number.isFinite(width)) {
    const unit = width > 0 ? width : nominal
    return { origin: low, unit, low: 0, high: width / unit }
  }
  const origin = Number.isFinite(low) ? low : Number.isFinite(high) ? high : 0
  return { origin, unit: nominal, low: (low - origin) / nominal, high: (high - origin) / nominal }
}

/**
 * A system in units of its own variables' ranges, every row over its largest coefficient, rows that nothing inside the bounds could break
 * left out, and variables without width put in as numbers.
 */
export function scale({ variables, rows }: LinearSystem): Scaled {
  const axes = variables.map(axisOf)
  const kept: ScaledRow[] = []
  let impossible = -1
  let sound = true
  rows.forEach((row, place) => {
    const { form, shift } = scaleForm(row, axes)
    const size = Math.max(...form.by.map(Math.abs), 0)
    const [least, most] = span(form, axes)
    const slack = 1e-9 * Math.max(size, Math.abs(shift), Number.MIN_VALUE)
    const [low, high] = [row.low - shift, row.high - shift]
    if (least > high + slack || most < low - slack || row.low > row.high) impossible = place
    else if (size > 0 && (least < low || most > high)) {
      const by = form.by.map(c => c / size)
      if (by.some(c => Math.abs(c) < SMALLEST)) sound = false
      kept.push({ at: form.at, by, low: low / size, high: high / size, place, size })
    }
  })
  return { axes, rows: kept, impossible, sound }
}

/** A form over u, and what the origins add to it. Variables without width add to that alone. */
export function scaleForm({ at, by }: Form, axes: readonly Axis[]): { form: Form; shift: number } {
  let shift = 0
  const places: number[] = []
  const factors: number[] = []
  at.forEach((j, k) => {
    const { origin, unit, low, high } = axes[j]!
    shift += by[k]! * origin
    if (by[k] === 0 || low === high) return
    places.push(j)
    factors.push(by[k]! * unit)
  })
  return { form: { at: places, by: factors }, shift }
}

/** The least and the most a form over u can be within the bounds. */
export function span({ at, by }: Form, axes: readonly Axis[]): [number, number] {
  let [least, most] = [0, 0]
  at.forEach((j, k) => {
    const { low, high } = axes[j]!
    const ends = [by[k]! * low, by[k]! * high]
    least += Math.min(...ends)
    most += Math.max(...ends)
  })
  return [least, most]
}

/** The point in the system's own terms, inside its bounds to the last digit. */
export function unscaled(u: ArrayLike<number>, { axes }: Scaled, variables: readonly LinearVariable[]): Float64Array {
  return Float64Array.from(variables, ({ low, high }, j) => {
    const { origin, unit } = axes[j]!
    return Math.min(high, Math.max(low, origin + unit * u[j]!))
  })
}

/** The largest miss of any row or bound at u, in scaled terms. */
export function largestMiss(u: ArrayLike<number>, { axes, rows }: Scaled): number {
  let worst = 0
  axes.forEach(({ low, high }, j) => {
    worst = Math.max(worst, low - u[j]!, u[j]! - high)
  })
  for (const { at, by, low, high } of rows) {
    let value = 0
    for (let k = 0; k < at.length; k++) value += by[k]! * u[at[k]!]!
    worst = Math.max(worst, low - value, value - high)
  }
  return Number.isNaN(worst) ? Number.POSITIVE_INFINITY : worst
}
