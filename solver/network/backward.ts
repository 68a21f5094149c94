import * as interval from '../interval/index.ts'
import type { Intervals } from './forward.ts'
import type { Program } from './program.ts'
import { OP, type Slot } from './tape.ts'

/** Called where a slot can be narrowed to an interval, and where it must have a value. */
export interface Findings {
  readonly narrow: (slot: Slot, low: number, high: number) => void
  readonly need: (slot: Slot) => void
}

const out = new Float64Array(2)
const { wellDown, wellUp } = interval

/**
 * Carries what is known of slot i, which must have a value, back to its operands: they must have one too (but for a branch
 * that may not be taken), and what cannot lead to i's interval is cut off. i is taken a few places wider, for rounding.
 */
export function backward(program: Program, overrides: Float64Array, box: Intervals, i: Slot, found: Findings): void {
  const { tape } = program
  const zl = wellDown(box.low[i]!)
  const zh = wellUp(box.high[i]!)
  const op = tape.op[i]!
  const p = tape.a[i]!
  const q = tape.b[i]!
  if (op === OP.leaf || op === OP.fly) return
  if (op === OP.fact) {
    if (!Number.isNaN(overrides[i])) return
    found.need(p)
    found.narrow(p, zl, zh)
  } else if (op >= OP.and) logical(program, box, i, zl, zh, found)
  else if (op >= OP.neg && op <= OP.abs && op !== OP.pow) {
    found.need(p)
    unary(op, box.low[p]!, box.high[p]!, zl, zh)
    found.narrow(p, out[0]!, out[1]!)
  } else {
    found.need(p)
    found.need(q)
    binary(op, box, p, q, zl, zh, found)
  }
}

function unary(op: number, xl: number, xh: number, zl: number, zh: number): Float64Array {
  switch (op) {
    case OP.neg:
      return interval.neg(out, zl, zh)
    case OP.square:
      return interval.squared(out, xl, xh, zl, zh)
    case OP.sqrt:
      return zh < 0 ? interval.setEmpty(out) : interval.square(out, Math.max(0, zl), zh)
    case OP.exp:
      return interval.ln(out, zl, zh)
    case OP.ln:
      return interval.exp(out, zl, zh)
    case OP.log10:
      return interval.pow(out, 10, 10, zl, zh)
    case OP.sin:
      return interval.sineOf(out, xl, xh, zl, zh)
    case OP.cos:
      return interval.cosineOf(out, xl, xh, zl, zh)
    case OP.tan:
      return interval.tangentOf(out, xl, xh, zl, zh)
    case OP.asin:
    case OP.acos:
    case OP.atan:
      return inverse(op, zl, zh)
    default:
      return interval.bySize(out, xl, xh, zl, zh)
  }
}

/** What an arc function's own range leaves of its result, taken back. */
function inverse(op: number, zl: number, zh: number): Float64Array {
  const [least, most] = op === OP.acos ? [0, Math.PI] : [-Math.PI / 2, Math.PI / 2]
  const [from, to] = [Math.max(wellDown(least), zl), Math.min(wellUp(most), zh)]
  if (from > to) return interval.setEmpty(out)
  if (op === OP.asin) return interval.sin(out, from, to)
  return op === OP.acos ? interval.cos(out, from, to) : interval.tan(out, from, to)
}

function binary(op: number, { low, high }: Intervals, p: Slot, q: Slot, zl: number, zh: number, found: Findings): void {
  const [xl, xh, yl, yh] = [low[p]!, high[p]!, low[q]!, high[q]!]
  const left = (): void => found.narrow(p, out[0]!, out[1]!)
  const right = (): void => found.narrow(q, out[0]!, out[1]!)
  switch (op) {
    case OP.add:
      interval.sub(out, zl, zh, yl, yh)
      left()
      interval.sub(out, zl, zh, xl, xh)
      right()
      break
    case OP.sub:
      interval.add(out, zl, zh, yl, yh)
      left()
      interval.sub(out, xl, xh, zl, zh)
      right()
      break
    case OP.mul:
      interval.factor(out, xl, xh, zl, zh, yl, yh)
      left()
      interval.factor(out, yl, yh, zl, zh, xl, xh)
      right()
      break
    case OP.div:
      interval.mul(out, zl, zh, yl, yh)
      // An infinite divisor answers with zero for any finite x.
      if (Math.abs(yl) !== Number.POSITIVE_INFINITY && Math.abs(yh) !== Number.POSITIVE_INFINITY) left()
      interval.factor(out, yl, yh, xl, xh, zl, zh)
      if (Math.abs(xl) !== Number.POSITIVE_INFINITY && Math.abs(xh) !== Number.POSITIVE_INFINITY) right()
      break
    case OP.pow:
      if (yl === yh) {
        interval.powerBase(out, xl, xh, zl, zh, yl)
        left()
      }
      break
    case OP.min:
      found.narrow(p, zl, yl > zh ? zh : Number.POSITIVE_INFINITY)
      found.narrow(q, zl, xl > zh ? zh : Number.POSITIVE_INFINITY)
      break
    case OP.max:
      found.narrow(p, yh < zl ? zl : Number.NEGATIVE_INFINITY, zh)
      found.narrow(q, xh < zl ? zl : Number.NEGATIVE_INFINITY, zh)
      break
    case OP.lt:
    case OP.le:
      if (zl > 0.5) ordered(p, q, xl, yh, found)
      else if (zh < 0.5) ordered(q, p, yl, xh, found)
      break
    case OP.eq:
      if (zl > 0.5) {
        found.narrow(p, yl, yh)
        found.narrow(q, xl, xh)
      }
  }
}

/** `lesser` ≤ `greater`, known from the lower end of the one and the upper end of the other. */
function ordered(lesser: Slot, greater: Slot, least: number, most: number, found: Findings): void {
  found.narrow(lesser, Number.NEGATIVE_INFINITY, most)
  found.narrow(greater, least, Number.POSITIVE_INFINITY)
}

function logical(
  { tape, flights, flightPlace }: Program,
  box: Intervals,
  i: Slot,
  zl: number,
  zh: number,
  found: Findings,
): void {
  const { low, high } = box
  const p = tape.a[i]!
  const q = tape.b[i]!
  const [yes, no] = [zl > 0.5, zh < 0.5]
  const one = (slot: Slot, value: number): void => {
    found.need(slot)
    found.narrow(slot, value, value)
  }
  const both = (value: number): void => {
    one(p, value)
    one(q, value)
  }
  switch (tape.op[i]) {
    case OP.and:
      // A false `and` needs one false side; the other may have no value.
      if (yes) both(1)
      else if (no && low[p] === 1) one(q, 0)
      else if (no && low[q] === 1) one(p, 0)
      break
    case OP.or:
      if (no) both(0)
      else if (yes && high[p] === 0) one(q, 1)
      else if (yes && high[q] === 0) one(p, 1)
      break
    case OP.not:
      found.need(p)
      if (yes) found.narrow(p, 0, 0)
      else if (no) found.narrow(p, 1, 1)
      break
    case OP.choose: {
      const r = tape.c[i]!
      found.need(p)
      const meets = (slot: Slot) => low[slot]! <= high[slot]! && low[slot]! <= zh && high[slot]! >= zl
      if (!meets(q)) found.narrow(p, 0, 0)
      if (!meets(r)) found.narrow(p, 1, 1)
      const taken = low[p] === 1 ? q : high[p] === 0 ? r : -1
      if (taken !== -1) {
        found.need(taken)
        found.narrow(taken, zl, zh)
      }
      break
    }
    case OP.curve:
      found.need(p)
      interval.curveInverse(out, tape.curves[q]!, low[p]!, high[p]!, zl, zh)
      found.narrow(p, out[0]!, out[1]!)
      break
    case OP.air:
      found.need(p)
      break
    case OP.flown:
      for (const input of flights[flightPlace[p]!]!.inputs) found.need(input)
  }
}
