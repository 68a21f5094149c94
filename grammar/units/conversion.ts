import { type Dimension, NONE } from './dimension.ts'
import { isDecimal, nearest, ofDecimal, ofNumber, type Ratio } from './ratio.ts'

/**
 * A unit. Its size is exact, in whole numbers: SI = (value × multiply + offset) / divide. `offset` is 0 but for readings
 * on a temperature scale (degC, degF). Whole numbers are bigints: psi has more digits than a double holds.
 */
export interface Unit {
  /** The form it is printed in: `m/s^2`, `N*s/kg`; empty for a plain number. */
  readonly text: string
  readonly dimension: Dimension
  readonly multiply: bigint
  readonly divide: bigint
  readonly offset: bigint
}

/** The unit of a plain number, printed as nothing. */
export const PLAIN: Unit = { text: '', dimension: NONE, multiply: 1n, divide: 1n, offset: 0n }

/** Whole numbers up to here are exact as doubles. */
const LARGEST_WHOLE = 9007199254740992n

/** A value in `unit` as SI: the double nearest to the true product. Infinite and no number pass through. */
export function toSI(value: number, unit: Unit): number {
  if (!Number.isFinite(value)) return value
  // One operation on exact operands is rounded once by the machine itself.
  if (unit.offset === 0n && unit.divide === 1n && unit.multiply <= LARGEST_WHOLE) return value * Number(unit.multiply)
  if (unit.offset === 0n && unit.multiply === 1n && unit.divide <= LARGEST_WHOLE) return value / Number(unit.divide)
  return ratioToSI(ofNumber(value), unit)
}

/** A decimal as written, in `unit`, as SI: the double nearest to the true product. "0.1 km" is 100 m exactly. */
export function decimalToSI(text: string, unit: Unit): number {
  return isDecimal(text) ? ratioToSI(ofDecimal(text), unit) : Number.NaN
}

function ratioToSI(value: Ratio, unit: Unit): number {
  return nearest(value.over * unit.multiply + unit.offset * value.under, value.under * unit.divide)
}

/** An SI value in `unit`: the double nearest to the true quotient, 0 where a reading of 0 comes to just this SI value. Infinite and no number pass through. */
export function fromSI(si: number, unit: Unit): number {
  if (!Number.isFinite(si)) return si
  if (unit.offset === 0n && unit.divide === 1n && unit.multiply <= LARGEST_WHOLE) return si / Number(unit.multiply)
  if (unit.offset === 0n && unit.multiply === 1n && unit.divide <= LARGEST_WHOLE) return si * Number(unit.divide)
  // The double nearest to 273.15 lies a hair below it, which would be all that is left of it.
  if (unit.offset !== 0n && si === toSI(0, unit)) return 0
  const value = ofNumber(si)
  return nearest(value.over * unit.divide - unit.offset * value.under, value.under * unit.multiply)
}

/** Digits that every decimal keeps on its way through a double. */
const KEPT = 15

/**
 * An SI value in `unit` as somebody would write it: the short decimal that comes to just this SI value where there is one.
 * 293.15 K is 20 degC, though the double nearest to 293.15 lies a hair below it.
 */
export function asWritten(si: number, unit: Unit): number {
  const value = fromSI(si, unit)
  // Of a reading as many as its distance from absolute zero leaves.
  const near = unit.offset === 0n ? value.toPrecision(KEPT) : value.toFixed(Math.max(0, KEPT - digitsBefore(si)))
  const short = Number(near)
  return decimalToSI(String(short), unit) === si ? short : value
}

/** Digits before the point. */
function digitsBefore(value: number): number {
  return Math.max(1, Math.floor(Math.log10(Math.abs(value) || 1)) + 1)
}

/** Whether a value in `unit` is a reading on a scale with its own zero (degC, degF), of which differences mean nothing else. */
export function isReading(unit: Unit): boolean {
  return unit.offset !== 0n
}
