import type { AirProperty, Curve } from '../model/expr.ts'

/** The place of one number on a tape. */
export type Slot = number

/** Instructions of a tape. The kernels in values.ts, slopes.ts and the interval sweeps switch on these numbers. */
export const OP = {
  /** Set from outside: constants, levers, imports of a side tape, its argument. */
  leaf: 0,
  /** A fact: slot a, unless overridden. */
  fact: 1,
  add: 2,
  sub: 3,
  mul: 4,
  div: 5,
  neg: 6,
  square: 7,
  sqrt: 8,
  pow: 9,
  exp: 10,
  ln: 11,
  log10: 12,
  sin: 13,
  cos: 14,
  tan: 15,
  asin: 16,
  acos: 17,
  atan: 18,
  abs: 19,
  min: 20,
  max: 21,
  /** Tests give 1, 0, or NaN where a side has no value; `and` and `or` know that false and anything is false. */
  lt: 22,
  le: 23,
  eq: 24,
  and: 25,
  or: 26,
  not: 27,
  /** Slot b where slot a is 1, slot c where it is 0. */
  choose: 28,
  /** Curve b of the tape at slot a. */
  curve: 29,
  /** Air b of the tape at altitude slot a. */
  air: 30,
  /** Flies flight a. */
  fly: 31,
  /** Output b of flight a. */
  flown: 32,
} as const

/** An `air` instruction's fixed part; `numbers` are the slots of the body's numbers in the order of BODY_SLOTS, −1 where it has none. */
export interface AirUse {
  readonly body: number
  readonly property: AirProperty
  readonly numbers: Int32Array
}

/**
 * Straight-line code, one instruction a slot, operands always before their readers.
 * `row[slot]` is the slot's row of slopes; row 0 is all zeros and shared by everything that no lever reaches.
 */
export interface Tape {
  readonly length: number
  readonly op: Uint8Array
  readonly a: Int32Array
  readonly b: Int32Array
  readonly c: Int32Array
  readonly row: Int32Array
  readonly rows: number
  /** Numbers of the constant leaves, 0 elsewhere. */
  readonly initial: Float64Array
  readonly curves: readonly Curve[]
  readonly airs: readonly AirUse[]
}

/** How many of a, b, c are slots. */
export function operands(op: number): number {
  if (op === OP.leaf || op === OP.fly || op === OP.flown) return 0
  if (op === OP.choose) return 3
  return isBinary(op) ? 2 : 1
}

function isBinary(op: number): boolean {
  return (
    (op >= OP.add && op <= OP.div) || op === OP.pow || op === OP.min || op === OP.max || (op >= OP.lt && op <= OP.or)
  )
}
