import { down, up } from './rounding.ts'

/**
 * Where an operation leaves its result: lower end, upper end. Ends are closed and may be infinite, as values that are attained.
 * Lower above upper (+∞, −∞) is the empty set: no value. Every result contains all that exact or double arithmetic can give for operands
 * in the intervals; operands are never empty (callers see to that).
 */
export type Ends = Float64Array

export function setEmpty(out: Ends): Ends {
  out[0] = Number.POSITIVE_INFINITY
  out[1] = Number.NEGATIVE_INFINITY
  return out
}

export function setWhole(out: Ends): Ends {
  out[0] = Number.NEGATIVE_INFINITY
  out[1] = Number.POSITIVE_INFINITY
  return out
}

export function add(out: Ends, al: number, ah: number, bl: number, bh: number): Ends {
  out[0] = down(al + bl)
  out[1] = up(ah + bh)
  return out
}

export function sub(out: Ends, al: number, ah: number, bl: number, bh: number): Ends {
  out[0] = down(al - bh)
  out[1] = up(ah - bl)
  return out
}

export function neg(out: Ends, al: number, ah: number): Ends {
  out[0] = -ah
  out[1] = -al
  return out
}

/** Zero times anything is zero, infinite included: what has a value there is 0 (0 times what grows without bound). */
function product(a: number, b: number): number {
  return a === 0 || b === 0 ? 0 : a * b
}

export function mul(out: Ends, al: number, ah: number, bl: number, bh: number): Ends {
  const [p, q, r, s] = [product(al, bl), product(al, bh), product(ah, bl), product(ah, bh)]
  out[0] = down(Math.min(p, q, r, s))
  out[1] = up(Math.max(p, q, r, s))
  return out
}

/** Division by zero has no value; by an interval with zero inside the hull of both sides is the whole line. */
export function div(out: Ends, al: number, ah: number, bl: number, bh: number): Ends {
  if (bl === 0 && bh === 0) setEmpty(out)
  else if (bl > 0) divideByPositive(out, al, ah, bl, bh)
  else if (bh < 0) divideByPositive(out, -ah, -al, -bh, -bl)
  else if (al === 0 && ah === 0) {
    out[0] = 0
    out[1] = 0
  } else if (bl === 0) divideByPositive(out, al, ah, 0, bh)
  else if (bh === 0) divideByPositive(out, -ah, -al, 0, -bl)
  else setWhole(out)
  return out
}

/** By b from bl ≥ 0 to bh > 0, zero itself left out. */
export function divideByPositive(out: Ends, al: number, ah: number, bl: number, bh: number): Ends {
  out[0] = down(al >= 0 ? quotient(al, bh) : quotient(al, bl))
  out[1] = up(ah <= 0 ? quotient(ah, bh) : quotient(ah, bl))
  return out
}

/** a/b at a corner, b ≥ 0, where it is approached: infinite over infinite lies anywhere from 0 on, and the other corners tell where. */
function quotient(a: number, b: number): number {
  if (a === 0) return 0
  if (b === 0) return a > 0 ? Number.POSITIVE_INFINITY : Number.NEGATIVE_INFINITY
  return Math.abs(a) === Number.POSITIVE_INFINITY && b === Number.POSITIVE_INFINITY ? 0 : a / b
}

export function abs(out: Ends, al: number, ah: number): Ends {
  out[0] = al >= 0 ? al : ah <= 0 ? -ah : 0
  out[1] = Math.max(-al, ah)
  return out
}

export function min(out: Ends, al: number, ah: number, bl: number, bh: number): Ends {
  out[0] = Math.min(al, bl)
  out[1] = Math.min(ah, bh)
  return out
}

export function max(out: Ends, al: number, ah: number, bl: number, bh: number): Ends {
  out[0] = Math.max(al, bl)
  out[1] = Math.max(ah, bh)
  return out
}

export function square(out: Ends, al: number, ah: number): Ends {
  abs(out, al, ah)
  out[0] = Math.max(0, down(out[0]! * out[0]!))
  out[1] = up(out[1]! * out[1]!)
  return out
}

/** Of what is not negative; empty where nothing is. */
export function sqrt(out: Ends, al: number, ah: number): Ends {
  if (ah < 0) return setEmpty(out)
  out[0] = al <= 0 ? 0 : Math.max(0, down(Math.sqrt(al)))
  out[1] = up(Math.sqrt(ah))
  return out
}
