import * as interval from '../interval/index.ts'
import type { Program } from './program.ts'
import { OP, type Slot } from './tape.ts'

/** An interval for every slot of a program: what it may be wherever it has a value. Lower above upper: it never has one. */
export interface Intervals {
  readonly low: Float64Array
  readonly high: Float64Array
}

/** What intervals of a program's slots are worked out from: the numbers set from outside, and the bodies' numbers (facts) for their air. */
export interface Known {
  readonly program: Program
  readonly overrides: Float64Array
  readonly values: Float64Array
}

const out = new Float64Array(2)

/** Works slot i out from its operands and leaves it in the array returned (lower, upper), which the next call uses again. */
export function forward(known: Known, { low, high }: Intervals, i: Slot): Float64Array {
  const { tape } = known.program
  const op = tape.op[i]!
  const p = tape.a[i]!
  const q = tape.b[i]!
  const al = low[p]!
  const ah = high[p]!
  if (op >= OP.and || op === OP.fact || op === OP.leaf) return special(known, low, high, i)
  if (al > ah) return interval.setEmpty(out)
  if (op >= OP.neg && op <= OP.abs && op !== OP.pow) return unary(op, al, ah)
  const bl = low[q]!
  const bh = high[q]!
  if (bl > bh) return interval.setEmpty(out)
  return binary(op, al, ah, bl, bh)
}

function unary(op: number, al: number, ah: number): Float64Array {
  switch (op) {
    case OP.neg:
      return interval.neg(out, al, ah)
    case OP.square:
      return interval.square(out, al, ah)
    case OP.sqrt:
      return interval.sqrt(out, al, ah)
    case OP.exp:
      return interval.exp(out, al, ah)
    case OP.ln:
      return interval.ln(out, al, ah)
    case OP.log10:
      return interval.log10(out, al, ah)
    case OP.sin:
      return interval.sin(out, al, ah)
    case OP.cos:
      return interval.cos(out, al, ah)
    case OP.tan:
      return interval.tan(out, al, ah)
    case OP.asin:
      return interval.asin(out, al, ah)
    case OP.acos:
      return interval.acos(out, al, ah)
    case OP.atan:
      return interval.atan(out, al, ah)
    default:
      return interval.abs(out, al, ah)
  }
}

function binary(op: number, al: number, ah: number, bl: number, bh: number): Float64Array {
  switch (op) {
    case OP.add:
      return interval.add(out, al, ah, bl, bh)
    case OP.sub:
      return interval.sub(out, al, ah, bl, bh)
    case OP.mul:
      return interval.mul(out, al, ah, bl, bh)
    case OP.div:
      return interval.div(out, al, ah, bl, bh)
    case OP.pow:
      return interval.pow(out, al, ah, bl, bh)
    case OP.min:
      return interval.min(out, al, ah, bl, bh)
    case OP.max:
      return interval.max(out, al, ah, bl, bh)
    case OP.lt:
      return told(ah < bl, al >= bh)
    case OP.le:
      return told(ah <= bl, al > bh)
    default:
      return told(al === ah && bl === bh && al === bl, ah < bl || al > bh)
  }
}

/** A test's outcome: 1 where surely true, 0 where surely false, else either. */
function told(surely: boolean, never: boolean): Float64Array {
  out[0] = surely ? 1 : 0
  out[1] = never ? 0 : 1
  return out
}

function set(low: number, high: number): Float64Array {
  out[0] = low
  out[1] = high
  return out
}

/** Instructions that look beyond two operands' intervals, or do not need both. */
function special(known: Known, low: Float64Array, high: Float64Array, i: Slot): Float64Array {
  const { tape, flights, flightPlace } = known.program
  const p = tape.a[i]!
  const q = tape.b[i]!
  switch (tape.op[i]) {
    case OP.fact: {
      const given = known.overrides[i]!
      return Number.isNaN(given) ? set(low[p]!, high[p]!) : set(given, given)
    }
    case OP.and:
      return told(low[p] === 1 && low[q] === 1, !(high[p] === 1 && high[q] === 1))
    case OP.or:
      return told(low[p] === 1 || low[q] === 1, !(high[p] === 1 || high[q] === 1))
    case OP.not:
      return set(1 - high[p]!, 1 - low[p]!)
    case OP.choose: {
      const r = tape.c[i]!
      if (low[p]! > high[p]!) return interval.setEmpty(out)
      if (low[p] === 1) return set(low[q]!, high[q]!)
      if (high[p] === 0) return set(low[r]!, high[r]!)
      return set(Math.min(low[q]!, low[r]!), Math.max(high[q]!, high[r]!))
    }
    case OP.curve:
      if (low[p]! > high[p]!) return interval.setEmpty(out)
      return interval.curveRange(out, tape.curves[q]!, low[p]!, high[p]!)
    case OP.air:
      return air(known, low, high, i)
    case OP.flown: {
      const { low: least, high: most } = flights[flightPlace[p]!]!.node.outputs[q]!
      return set(least, most)
    }
    default:
      // Leaves are set from outside, and a `fly` has no value of its own.
      return set(low[i]!, high[i]!)
  }
}

const told2 = new Float64Array(2)
/** What two computations of the air at one altitude may differ by. */
const AIR_SHARE = 1e-9
/** How near to a turn, as a share of its altitude, each of its sides is looked at: more than any rounding of where it stands. */
const AIR_SIDE = 1e-12

/** The air over a range of altitudes: it is between its values at the ends and on both sides of where it may turn or jump. */
function air({ program, values }: Known, low: Float64Array, high: Float64Array, i: Slot): Float64Array {
  const { tape, parts } = program
  const use = tape.airs[tape.b[i]!]!
  const [from, to] = [low[tape.a[i]!]!, high[tape.a[i]!]!]
  if (from > to) return interval.setEmpty(out)
  set(0, Number.POSITIVE_INFINITY)
  if (use.numbers.some(slot => slot !== -1 && tape.row[slot] !== 0)) return out
  const numbers = Float64Array.from(use.numbers, slot => (slot === -1 ? Number.NaN : values[slot]!))
  let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  const look = (altitude: number): void => {
    parts.air(use.body, numbers, use.property, altitude, told2)
    if (Number.isNaN(told2[0])) return
    least = Math.min(least, told2[0]!)
    most = Math.max(most, told2[0]!)
  }
  if (from < to) {
    const known = parts.airTurns(use.body, numbers, use.property)
    if (!known || !(from > known.floor)) return out
    for (const turn of known.turns) {
      const side = AIR_SIDE * Math.abs(turn)
      if (turn + side < from || turn - side > to) continue
      for (const altitude of [turn - side, turn, turn + side]) look(altitude)
    }
    look(to)
  }
  look(from)
  return least > most ? out : set(least * (1 - AIR_SHARE), most * (1 + AIR_SHARE))
}
