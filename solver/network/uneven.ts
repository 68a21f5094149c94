import type { Curve } from '../model/expr.ts'
import type { Range } from '../model/model.ts'
import { type Coned, coneOf } from './cone.ts'
import { forward, type Intervals, type Known } from './forward.ts'
import { type AimSlots, type Program, slotsOf, type TargetSlots } from './program.ts'
import { boxOver } from './ranges-box.ts'
import type { State } from './state.ts'
import { OP, operands, type Slot } from './tape.ts'

/** Instructions that may jump or bend, those that may have a pole among them. */
const BENDING: readonly number[] = [
  OP.choose,
  OP.min,
  OP.max,
  OP.abs,
  OP.curve,
  OP.div,
  OP.pow,
  OP.tan,
  OP.ln,
  OP.log10,
  OP.air,
]

const NONE = new Uint8Array(0)

/** Of a program's algebra that targets and aims hang on, the slots that levers move, in order; none where nothing among them can jump or bend. */
export function bendingOf(
  from: Coned,
  targets: readonly TargetSlots[],
  aims: readonly AimSlots[],
  flown: Slot,
): Int32Array {
  const { tape } = from
  const asked = [...targets.flatMap(slotsOf), ...aims.map(({ value }) => value)]
  const algebra = asked.filter(slot => slot !== -1 && slot < flown)
  const moved = coneOf(from, algebra).filter(slot => tape.row[slot] !== 0 && tape.op[slot] !== OP.leaf)
  return moved.some(slot => BENDING.includes(tape.op[slot]!)) ? moved : new Int32Array(0)
}

/**
 * By slot: 1 where the free levers may move it, somewhere in their ranges, by a jump or round a bend: through a choice that goes both ways there, a
 * table, the larger of two, or a pole. Then its slopes at one setting tell nothing of the next. Told of the algebra that targets and aims hang on.
 */
export function unevenSlots(state: State, ranges: readonly Range[]): Uint8Array {
  const { program, values, overrides } = state
  const { bending } = program
  if (bending.length === 0) return NONE
  state.refresh()
  const uneven = new Uint8Array(values.length)
  const known: Known = { program, values, overrides }
  const box = boxOver(state, ranges)
  for (const slot of bending) {
    const ends = forward(known, box, slot)
    box.low[slot] = ends[0]!
    box.high[slot] = ends[1]!
    if (bends(program, box, uneven, slot)) uneven[slot] = 1
  }
  return uneven
}

/** Whether a slot whose operands are known jumps or bends by itself, or by an operand that counts. */
function bends({ tape }: Program, { low, high }: Intervals, uneven: Uint8Array, slot: Slot): boolean {
  const op = tape.op[slot]!
  const [p, q, r] = [tape.a[slot]!, tape.b[slot]!, tape.c[slot]!]
  const count = operands(op)
  switch (op) {
    case OP.choose:
      return low[p] === high[p] ? uneven[low[p] === 1 ? q : r] === 1 : true
    case OP.min:
    case OP.max: {
      if (high[p]! <= low[q]!) return uneven[op === OP.min ? p : q] === 1
      if (high[q]! <= low[p]!) return uneven[op === OP.min ? q : p] === 1
      return true
    }
    case OP.abs:
      return uneven[p] === 1 || (low[p]! < 0 && high[p]! > 0)
    case OP.curve:
      return uneven[p] === 1 || hasKnot(tape.curves[q]!, low[p]!, high[p]!)
    default:
      return (count > 0 && uneven[p] === 1) || (count > 1 && uneven[q] === 1) || hasPole()
  }

  /** Whether it is without bounds where what it is made of has some. */
  function hasPole(): boolean {
    const bounded = (at: Slot): boolean => Number.isFinite(low[at]) && Number.isFinite(high[at])
    return count > 0 && bounded(p) && (count < 2 || bounded(q)) && !bounded(slot)
  }
}

function hasKnot({ knots }: Curve, low: number, high: number): boolean {
  return knots.some(knot => knot > low && knot <= high)
}
