import { divideByPositive, type Ends, setEmpty } from './arithmetic.ts'
import { meets } from './functions.ts'
import { wellDown, wellUp } from './rounding.ts'

/*
 * What is left of x when z = f(x, …) is known: each function keeps, of the interval x it is given, what some z (and y) in their
 * intervals can answer for, as one interval. Nothing that has an answer is lost, rounding of the forward operation included:
 * callers hand in z a few places wider than known.
 */

/** Keeps of [xl, xh] the hull of its overlaps with two pieces; a piece with its lower end above its upper is none. */
function keepTwo(out: Ends, xl: number, xh: number, pl: number, ph: number, ql: number, qh: number): Ends {
  const inP = Math.max(xl, pl) <= Math.min(xh, ph)
  const inQ = Math.max(xl, ql) <= Math.min(xh, qh)
  if (!inP && !inQ) return setEmpty(out)
  out[0] = Math.min(
    inP ? Math.max(xl, pl) : Number.POSITIVE_INFINITY,
    inQ ? Math.max(xl, ql) : Number.POSITIVE_INFINITY,
  )
  out[1] = Math.max(
    inP ? Math.min(xh, ph) : Number.NEGATIVE_INFINITY,
    inQ ? Math.min(xh, qh) : Number.NEGATIVE_INFINITY,
  )
  return out
}

/** Keeps of [xl, xh] its overlap with [pl, ph]. */
function keep(out: Ends, xl: number, xh: number, pl: number, ph: number): Ends {
  out[0] = Math.max(xl, pl)
  out[1] = Math.min(xh, ph)
  if (out[0]! > out[1]!) setEmpty(out)
  return out
}

/** x where x·y = z. */
export function factor(out: Ends, xl: number, xh: number, zl: number, zh: number, yl: number, yh: number): Ends {
  if (yl <= 0 && yh >= 0 && zl <= 0 && zh >= 0)
    return keep(out, xl, xh, Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY)
  let [pl, ph, ql, qh] = [
    Number.POSITIVE_INFINITY,
    Number.NEGATIVE_INFINITY,
    Number.POSITIVE_INFINITY,
    Number.NEGATIVE_INFINITY,
  ]
  if (yh > 0) {
    divideByPositive(out, zl, zh, Math.max(0, yl), yh)
    pl = out[0]!
    ph = out[1]!
  }
  if (yl < 0) {
    divideByPositive(out, -zh, -zl, Math.max(0, -yh), -yl)
    ql = out[0]!
    qh = out[1]!
  }
  keepTwo(out, xl, xh, pl, ph, ql, qh)
  return out
}

/** x where |x| lies from `near` to `far` (ends already rounded outward). */
export function bySize(out: Ends, xl: number, xh: number, near: number, far: number): Ends {
  if (far < 0 || near > far) return setEmpty(out)
  const least = Math.max(0, near)
  keepTwo(out, xl, xh, least, far, -far, -least)
  return out
}

/** x where x² = z. */
export function squared(out: Ends, xl: number, xh: number, zl: number, zh: number): Ends {
  if (zh < 0) return setEmpty(out)
  bySize(out, xl, xh, zl <= 0 ? 0 : wellDown(Math.sqrt(zl)), wellUp(Math.sqrt(zh)))
  return out
}

/** x where x^n = z for one constant exponent n. */
export function powerBase(out: Ends, xl: number, xh: number, zl: number, zh: number, n: number): Ends {
  if (n === 0) return keep(out, xl, xh, Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY)
  const whole = Number.isInteger(n)
  const odd = whole && n % 2 !== 0
  // Sizes of x for z above zero, and for z below zero (odd powers only).
  const [pl, ph] = rootRange(Math.max(0, zl), zh, n)
  if (!whole) return keep(out, xl, xh, Math.max(0, pl), ph)
  if (!odd) return bySize(out, xl, xh, pl, ph)
  const [ql, qh] = rootRange(Math.max(0, -zh), -zl, n)
  keepTwo(out, xl, xh, pl, ph, -qh, -ql)
  return out
}

/** The sizes x ≥ 0 with x^n from zl ≥ 0 to zh; upside down where there are none. */
function rootRange(zl: number, zh: number, n: number): [number, number] {
  if (zh < 0 || zl > zh) return [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  const [first, last] = [zl ** (1 / n), zh ** (1 / n)]
  // 1/n is itself rounded: a hundred places for what that does to a large root.
  const slack = 1e-13
  const [low, high] = n > 0 ? [first, last] : [last, first]
  return [Math.max(0, low * (1 - slack)), wellUp(high * (1 + slack))]
}

/** x where sin x = z: narrowed where [xl, xh] lies on one rising or falling stretch. */
export function sineOf(out: Ends, xl: number, xh: number, zl: number, zh: number): Ends {
  stretch(out, xl, xh, zl, zh, 0, Math.asin)
  return out
}

/** x where cos x = z. */
export function cosineOf(out: Ends, xl: number, xh: number, zl: number, zh: number): Ends {
  stretch(out, xl, xh, zl, zh, Math.PI / 2, z => Math.asin(-z))
  return out
}

/** A wave that passes zero at `centre`, through stretches of π that rise and fall by turns; `back` gives the offset from a rising one's middle. */
function stretch(
  out: Ends,
  xl: number,
  xh: number,
  zl: number,
  zh: number,
  centre: number,
  back: (z: number) => number,
): Ends {
  if (zh < -1 || zl > 1) return setEmpty(out)
  out[0] = xl
  out[1] = xh
  if (!(Math.abs(xl) < 1e6 && Math.abs(xh) < 1e6)) return out
  const k = Math.round((0.5 * (xl + xh) - centre) / Math.PI)
  const middle = centre + k * Math.PI
  const [first, last] = [xl - middle, xh - middle]
  if (first < -Math.PI / 2 - 1e-12 || last > Math.PI / 2 + 1e-12) return out
  const ends = [Math.max(-1, zl), Math.min(1, zh)].map(z => back(k % 2 === 0 ? z : -z))
  const [lowest, highest] = [Math.min(...ends), Math.max(...ends)]
  const slack = 1e-14 * (1 + Math.abs(middle))
  // At a stretch's own ends everything up to [xl, xh] stays, for rounding may have placed it beyond.
  const low = lowest <= 1e-11 - Math.PI / 2 ? xl : wellDown(middle + lowest - slack)
  const high = highest >= Math.PI / 2 - 1e-11 ? xh : wellUp(middle + highest + slack)
  return keep(out, xl, xh, low, high)
}

/** x where tan x = z: narrowed where [xl, xh] lies between two poles. */
export function tangentOf(out: Ends, xl: number, xh: number, zl: number, zh: number): Ends {
  out[0] = xl
  out[1] = xh
  if (!(Math.abs(xl) < 1e6 && Math.abs(xh) < 1e6) || meets(xl, xh, Math.PI / 2, Math.PI)) return out
  const middle = Math.round((0.5 * (xl + xh)) / Math.PI) * Math.PI
  const slack = 1e-14 * (1 + Math.abs(middle))
  keep(out, xl, xh, wellDown(middle + Math.atan(zl) - slack), wellUp(middle + Math.atan(zh) + slack))
  return out
}
