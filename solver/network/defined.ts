import { forward, type Intervals, type Known } from './forward.ts'
import { OP, operands, type Slot } from './tape.ts'

/**
 * By slot: 1 where it surely has a finite value at every point of the levers' box whose intervals these are. What a flight gives may
 * have none, so nothing from the first flight on counts.
 */
export function definedSlots(known: Known, box: Intervals): Uint8Array {
  const { program } = known
  const sure = new Uint8Array(program.tape.length)
  for (let slot = 0; slot < program.flown; slot++) if (isDefined(known, box, sure, slot)) sure[slot] = 1
  return sure
}

/** Whether a slot of known operands surely has a finite value wherever they lie. */
export function isDefined(known: Known, { low, high }: Intervals, sure: Uint8Array, slot: Slot): boolean {
  const { tape } = known.program
  // Intervals are rounded outward: finite ends leave no room for a number too large.
  if (!(Number.isFinite(low[slot]) && Number.isFinite(high[slot]) && low[slot]! <= high[slot]!)) return false
  const op = tape.op[slot]!
  if (op === OP.leaf) return true
  if (op === OP.fly || op === OP.flown) return false
  const [p, q, r] = [tape.a[slot]!, tape.b[slot]!, tape.c[slot]!]
  if (op === OP.choose) return sure[p] === 1 && (low[p] === 1 || sure[r] === 1) && (high[p] === 0 || sure[q] === 1)
  if (sure[p] === 0 || (operands(op) > 1 && sure[q] === 0)) return false
  switch (op) {
    case OP.div:
      return low[q]! > 0 || high[q]! < 0
    case OP.sqrt:
      return low[p]! >= 0
    case OP.ln:
    case OP.log10:
      return low[p]! > 0
    case OP.asin:
    case OP.acos:
      return low[p]! >= -1 && high[p]! <= 1
    case OP.pow:
      return powerDefined(low[p]!, high[p]!, low[q]!, high[q]!)
    case OP.air:
      return airDefined(known, { low, high }, slot)
    default:
      return true
  }
}

function powerDefined(al: number, ah: number, bl: number, bh: number): boolean {
  if (al > 0) return true
  if (al >= 0 && bl >= 0) return true
  return bl === bh && Number.isInteger(bl) && (bl >= 0 || ah < 0)
}

/** Pressure, density and gravity have a value between two altitudes at which they have one; each end is looked at by itself. */
function airDefined(known: Known, { low, high }: Intervals, slot: Slot): boolean {
  const { tape } = known.program
  const { property } = tape.airs[tape.b[slot]!]!
  if (property === 'temperature' || property === 'sound speed') return false
  const altitude = tape.a[slot]!
  return [low[altitude]!, high[altitude]!].every(end => {
    const at: Intervals = { low: low.slice(), high: high.slice() }
    at.low[altitude] = at.high[altitude] = end
    const ends = forward(known, at, slot)
    return Number.isFinite(ends[1])
  })
}
