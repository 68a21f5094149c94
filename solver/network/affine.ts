import * as interval from '../interval/index.ts'
import type { Intervals } from './forward.ts'
import type { Program } from './program.ts'
import { OP, type Slot } from './tape.ts'

/**
 * A slot as a sum over columns (levers, and slots that are no such sum): at any point that meets the musts inside the intervals, its value
 * as computed in doubles lies in Σ [low, high]·column + [least, most]. Columns in rising order.
 */
export interface Affine {
  readonly at: readonly number[]
  readonly low: readonly number[]
  readonly high: readonly number[]
  readonly least: number
  readonly most: number
}

/** The forms of a cone of slots. */
export interface Forms {
  /** The slot behind each column. */
  readonly columns: readonly Slot[]
  readonly formOf: (slot: Slot) => Affine
}

const out = new Float64Array(2)
const ULP = 2 ** -52

/** A number known to lie in an interval. */
export function constant(least: number, most: number): Affine {
  return { at: [], low: [], high: [], least, most }
}

/** factor·f + other·g, for factors in intervals. */
export function combine(f: Affine, fl: number, fh: number, g: Affine, gl: number, gh: number): Affine {
  const at: number[] = []
  const low: number[] = []
  const high: number[] = []
  for (let i = 0, j = 0; i < f.at.length || j < g.at.length; ) {
    const column = Math.min(f.at[i] ?? Number.POSITIVE_INFINITY, g.at[j] ?? Number.POSITIVE_INFINITY)
    let [least, most] = [0, 0]
    if (f.at[i] === column) {
      interval.mul(out, f.low[i]!, f.high[i]!, fl, fh)
      least = out[0]!
      most = out[1]!
      i++
    }
    if (g.at[j] === column) {
      interval.mul(out, g.low[j]!, g.high[j]!, gl, gh)
      interval.add(out, least, most, out[0]!, out[1]!)
      least = out[0]!
      most = out[1]!
      j++
    }
    at.push(column)
    low.push(least)
    high.push(most)
  }
  interval.mul(out, f.least, f.most, fl, fh)
  const [least, most] = [out[0]!, out[1]!]
  interval.mul(out, g.least, g.most, gl, gh)
  interval.add(out, least, most, out[0]!, out[1]!)
  return { at, low, high, least: out[0]!, most: out[1]! }
}

/** The forms of all slots of a cone, at the intervals that they have now. */
export function formsOf(program: Program, overrides: Float64Array, box: Intervals, cone: Int32Array): Forms {
  const { tape } = program
  const columns: Slot[] = []
  const forms = new Map<Slot, Affine>()
  const opaque = (slot: Slot): Affine => {
    const column = columns.push(slot) - 1
    return { at: [column], low: [1], high: [1], least: 0, most: 0 }
  }
  for (const slot of cone) {
    const [least, most] = [box.low[slot]!, box.high[slot]!]
    if (tape.row[slot] === 0 || least >= most) forms.set(slot, constant(least, most))
    else forms.set(slot, formAt(tape, overrides, box, forms, slot) ?? opaque(slot))
  }
  return { columns, formOf: slot => forms.get(slot)! }
}

/** What an instruction makes of its operands' forms; null where that is no sum. */
function formAt(
  tape: Program['tape'],
  overrides: Float64Array,
  { low, high }: Intervals,
  forms: ReadonlyMap<Slot, Affine>,
  slot: Slot,
): Affine | null {
  const [p, q] = [tape.a[slot]!, tape.b[slot]!]
  const of = (operand: Slot) => forms.get(operand)!
  const isConstant = (operand: Slot) => of(operand).at.length === 0
  const nothing = constant(0, 0)
  switch (tape.op[slot]) {
    case OP.fact:
      return Number.isNaN(overrides[slot]) ? of(p) : null
    case OP.add:
      return rounded(combine(of(p), 1, 1, of(q), 1, 1), low[slot]!, high[slot]!)
    case OP.sub:
      return rounded(combine(of(p), 1, 1, of(q), -1, -1), low[slot]!, high[slot]!)
    case OP.neg:
      return combine(of(p), -1, -1, nothing, 0, 0)
    case OP.mul: {
      const [factor, form] = isConstant(p) ? [p, q] : [q, p]
      if (!isConstant(factor)) return null
      return rounded(combine(of(form), low[factor]!, high[factor]!, nothing, 0, 0), low[slot]!, high[slot]!)
    }
    case OP.div: {
      if (!isConstant(q) || (low[q]! <= 0 && high[q]! >= 0)) return null
      interval.div(out, 1, 1, low[q]!, high[q]!)
      return rounded(combine(of(p), out[0]!, out[1]!, nothing, 0, 0), low[slot]!, high[slot]!)
    }
    case OP.abs:
      if (low[p]! >= 0) return of(p)
      return high[p]! <= 0 ? combine(of(p), -1, -1, nothing, 0, 0) : null
    case OP.min:
      return high[p]! <= low[q]! ? of(p) : high[q]! <= low[p]! ? of(q) : null
    case OP.max:
      return low[p]! >= high[q]! ? of(p) : low[q]! >= high[p]! ? of(q) : null
    case OP.choose:
      return low[p] === 1 ? of(q) : high[p] === 0 ? of(tape.c[slot]!) : null
    default:
      return null
  }
}

/** Allows for the rounding of one operation whose result lies from low to high; null where that may be infinite. */
function rounded(form: Affine, low: number, high: number): Affine | null {
  const slack = ULP * Math.max(Math.abs(low), Math.abs(high)) + Number.MIN_VALUE
  if (!Number.isFinite(slack) || !form.low.every(Number.isFinite) || !form.high.every(Number.isFinite)) return null
  const { at } = form
  return {
    at,
    low: form.low,
    high: form.high,
    least: interval.down(form.least - slack),
    most: interval.up(form.most + slack),
  }
}
