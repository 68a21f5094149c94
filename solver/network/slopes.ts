import { curveSlope } from './piecewise.ts'
import type { Slot, Tape } from './tape.ts'
import type { AirAt } from './values.ts'

/** Slopes of a tape's slots by each of `lanes` levers: the row of a slot begins at `row[slot] * lanes`. */
export interface Slopes {
  lanes: number
  rows: Float64Array
  readonly values: Float64Array
  /** The last slot whose slope is infinite although it has a value (√0), where 0 stands for it; −1 if none. */
  steep: Slot
}

const air = new Float64Array(2)
const LN10 = Math.LN10

/**
 * Works out the slopes of slots `from` to `to` − 1 whose values are known, by the chain rule, exactly.
 * Where a function bends (abs, min, max, a branch, a knot) the slope is that of one side.
 */
export function runSlopes(
  tape: Tape,
  slopes: Slopes,
  from: number,
  to: number,
  overrides: Float64Array,
  airAt: AirAt | null,
): void {
  const v = slopes.values
  const { op, a, b, c, row, curves } = tape
  for (let i = from; i < to; i++) {
    if (row[i] === 0) continue
    const code = op[i]!
    const p = a[i]!
    const x = v[p]!
    const q = b[i]!
    switch (code) {
      case 1:
        chain(tape, slopes, i, p, Number.isNaN(overrides[i]) ? 1 : 0)
        break
      case 2:
        both(tape, slopes, i, p, 1, q, 1)
        break
      case 3:
        both(tape, slopes, i, p, 1, q, -1)
        break
      case 4:
        both(tape, slopes, i, p, v[q]!, q, x)
        break
      case 5:
        both(tape, slopes, i, p, 1 / v[q]!, q, -v[i]! / v[q]!)
        break
      case 6:
        chain(tape, slopes, i, p, -1)
        break
      case 7:
        chain(tape, slopes, i, p, 2 * x)
        break
      case 8:
        chain(tape, slopes, i, p, 0.5 / v[i]!)
        break
      case 9:
        both(tape, slopes, i, p, powerByBase(x, v[q]!), q, x > 0 ? v[i]! * Math.log(x) : 0)
        break
      case 10:
        chain(tape, slopes, i, p, v[i]!)
        break
      case 11:
        chain(tape, slopes, i, p, 1 / x)
        break
      case 12:
        chain(tape, slopes, i, p, 1 / (x * LN10))
        break
      case 13:
        chain(tape, slopes, i, p, Math.cos(x))
        break
      case 14:
        chain(tape, slopes, i, p, -Math.sin(x))
        break
      case 15:
        chain(tape, slopes, i, p, 1 + v[i]! * v[i]!)
        break
      case 16:
        chain(tape, slopes, i, p, 1 / Math.sqrt((1 - x) * (1 + x)))
        break
      case 17:
        chain(tape, slopes, i, p, -1 / Math.sqrt((1 - x) * (1 + x)))
        break
      case 18:
        chain(tape, slopes, i, p, 1 / (1 + x * x))
        break
      case 19:
        chain(tape, slopes, i, p, x < 0 ? -1 : 1)
        break
      case 20:
        chain(tape, slopes, i, v[q]! < x ? q : p, 1)
        break
      case 21:
        chain(tape, slopes, i, v[q]! > x ? q : p, 1)
        break
      case 28:
        chain(tape, slopes, i, x === 1 ? q : c[i]!, 1)
        break
      case 29:
        chain(tape, slopes, i, p, curveSlope(curves[q]!, x))
        break
      case 30:
        airSlopes(tape, slopes, i, airAt!)
        break
      case 0:
      case 31:
      case 32:
        // Set from outside: levers, imports, a flight's figures.
        break
      default:
        // Tests: nothing reads their slopes.
        chain(tape, slopes, i, p, 0)
    }
  }
}

function powerByBase(x: number, y: number): number {
  if (x === 0) return y === 1 ? 1 : y > 1 || y === 0 ? 0 : Number.POSITIVE_INFINITY
  return y * x ** (y - 1)
}

function chain({ row }: Tape, slopes: Slopes, i: Slot, p: Slot, factor: number): void {
  const { lanes, rows } = slopes
  const to = row[i]! * lanes
  const from = row[p]! * lanes
  for (let l = 0; l < lanes; l++) {
    const inner = rows[from + l]!
    rows[to + l] = inner === 0 ? 0 : finite(factor * inner, slopes, i)
  }
}

function both({ row }: Tape, slopes: Slopes, i: Slot, p: Slot, byP: number, q: Slot, byQ: number): void {
  const { lanes, rows } = slopes
  const to = row[i]! * lanes
  const fromP = row[p]! * lanes
  const fromQ = row[q]! * lanes
  for (let l = 0; l < lanes; l++) {
    const dp = rows[fromP + l]!
    const dq = rows[fromQ + l]!
    rows[to + l] = finite((dp === 0 ? 0 : byP * dp) + (dq === 0 ? 0 : byQ * dq), slopes, i)
  }
}

function finite(slope: number, slopes: Slopes, i: Slot): number {
  if (slope - slope === 0) return slope
  if (!Number.isNaN(slopes.values[i])) slopes.steep = i
  return 0
}

/** By altitude as the air tells it; by the body's own numbers, where a lever reaches them, by central differences (about 1e-9 of the value). */
function airSlopes(tape: Tape, slopes: Slopes, i: Slot, airAt: AirAt): void {
  const v = slopes.values
  const p = tape.a[i]!
  const use = tape.b[i]!
  airAt(use, v[p]!, v, air)
  chain(tape, slopes, i, p, air[1]!)
  const { lanes, rows } = slopes
  for (const number of tape.airs[use]!.numbers) {
    if (number === -1 || tape.row[number] === 0) continue
    const kept = v[number]!
    const step = 6e-6 * Math.abs(kept)
    if (step === 0) continue
    v[number] = kept + step
    airAt(use, v[p]!, v, air)
    const above = air[0]!
    v[number] = kept - step
    airAt(use, v[p]!, v, air)
    v[number] = kept
    const factor = (above - air[0]!) / (2 * step)
    for (let l = 0; l < lanes; l++) rows[tape.row[i]! * lanes + l]! += factor * rows[tape.row[number]! * lanes + l]!
  }
}
