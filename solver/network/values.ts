import { curveValue } from './piecewise.ts'
import type { Tape } from './tape.ts'

/** The air as a tape asks for it: writes value and slope of air `use` at an altitude, given the tape's values. */
export type AirAt = (use: number, altitude: number, values: Float64Array, out: Float64Array) => void

const air = new Float64Array(2)

/**
 * Works out slots `from` to `to` − 1 in place. A slot that has no value is NaN, and NaN goes on to what reads it, but through a branch
 * that is not taken. `overrides[slot]` stands for a fact where it is a number.
 * The numbers of the cases are those of OP; they stand as literals because the engine then makes a jump table of them.
 */
export function runValues(
  tape: Tape,
  v: Float64Array,
  from: number,
  to: number,
  overrides: Float64Array,
  airAt: AirAt | null,
): void {
  const { op, a, b, c, curves } = tape
  for (let i = from; i < to; i++) {
    const x = v[a[i]!]!
    switch (op[i]!) {
      case 1: {
        const given = overrides[i]!
        v[i] = Number.isNaN(given) ? x : given
        break
      }
      case 2:
        v[i] = within(x + v[b[i]!]!, x, v[b[i]!]!)
        break
      case 3:
        v[i] = within(x - v[b[i]!]!, x, v[b[i]!]!)
        break
      case 4:
        v[i] = within(x * v[b[i]!]!, x, v[b[i]!]!)
        break
      case 5: {
        const y = v[b[i]!]!
        v[i] = y === 0 ? Number.NaN : within(x / y, x, y)
        break
      }
      case 6:
        v[i] = -x
        break
      case 7:
        v[i] = within(x * x, x, x)
        break
      case 8:
        v[i] = Math.sqrt(x)
        break
      case 9: {
        const y = v[b[i]!]!
        // Of no value at all the engine's own power 0 would be 1.
        v[i] = (x === 0 && y < 0) || Number.isNaN(x) ? Number.NaN : within(x ** y, x, y)
        break
      }
      case 10:
        v[i] = within(Math.exp(x), x, x)
        break
      case 11:
        v[i] = x === 0 ? Number.NaN : Math.log(x)
        break
      case 12:
        v[i] = x === 0 ? Number.NaN : Math.log10(x)
        break
      case 13:
        v[i] = Math.sin(x)
        break
      case 14:
        v[i] = Math.cos(x)
        break
      case 15:
        v[i] = Math.tan(x)
        break
      case 16:
        v[i] = Math.asin(x)
        break
      case 17:
        v[i] = Math.acos(x)
        break
      case 18:
        v[i] = Math.atan(x)
        break
      case 19:
        v[i] = Math.abs(x)
        break
      case 20:
        v[i] = Math.min(x, v[b[i]!]!)
        break
      case 21:
        v[i] = Math.max(x, v[b[i]!]!)
        break
      case 22: {
        const y = v[b[i]!]!
        v[i] = x < y ? 1 : x >= y ? 0 : Number.NaN
        break
      }
      case 23: {
        const y = v[b[i]!]!
        v[i] = x <= y ? 1 : x > y ? 0 : Number.NaN
        break
      }
      case 24: {
        const y = v[b[i]!]!
        v[i] = x === y ? 1 : x < y || x > y ? 0 : Number.NaN
        break
      }
      case 25: {
        const y = v[b[i]!]!
        v[i] = x === 0 || y === 0 ? 0 : x * y
        break
      }
      case 26: {
        const y = v[b[i]!]!
        v[i] = x === 1 || y === 1 ? 1 : x + y
        break
      }
      case 27:
        v[i] = 1 - x
        break
      case 28:
        v[i] = x === 1 ? v[b[i]!]! : x === 0 ? v[c[i]!]! : Number.NaN
        break
      case 29:
        v[i] = curveValue(curves[b[i]!]!, x)
        break
      case 30:
        airAt!(b[i]!, x, v, air)
        v[i] = air[0]!
        break
    }
  }
}

/** A number that grew beyond all others out of finite ones is none; an infinite one that was put in (an escape's apoapsis) goes on. */
function within(z: number, x: number, y: number): number {
  return z - z === 0 ? z : x - x === 0 && y - y === 0 ? Number.NaN : z
}
