import { type Ends, setEmpty } from './arithmetic.ts'

/** A piecewise cubic as in the model: pieces between knots, held constant outside. */
export interface Cubics {
  readonly knots: Float64Array
  readonly coefficients: Float64Array
}

/** Rounding of a cubic's value, as a share of the sum of its terms' sizes. */
const SHARE = 8 * 2 ** -52

/** The range of a curve over [al, ah]: of each piece touched, its ends and turning points. */
export function curveRange(out: Ends, curve: Cubics, al: number, ah: number): Ends {
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  eachPiece(out, curve, al, ah, () => {
    low = Math.min(low, out[0]!)
    high = Math.max(high, out[1]!)
    return false
  })
  out[0] = low
  out[1] = high
  return out
}

/** Puts the range of each piece that [al, ah] touches into `out` and calls `see`, until that says true; whether it did. */
function eachPiece(out: Ends, { knots, coefficients }: Cubics, al: number, ah: number, see: () => boolean): boolean {
  const last = knots.length - 1
  if (al < knots[0]!) {
    if (pieceRange(out, coefficients, 0, 0, 0) && see()) return true
  }
  if (ah >= knots[last]!) {
    const width = knots[last]! - (knots[last - 1] ?? 0)
    const held = coefficients.length >= 4 * knots.length
    if (held ? pieceRange(out, coefficients, last, 0, 0) : pieceRange(out, coefficients, last - 1, width, width)) {
      if (see()) return true
    }
  }
  for (let k = firstTouched(knots, al); k < last && knots[k]! <= ah; k++) {
    const from = Math.max(al, knots[k]!)
    const to = Math.min(ah, knots[k + 1]!)
    if (from <= to && pieceRange(out, coefficients, k, from - knots[k]!, to - knots[k]!) && see()) return true
  }
  return false
}

/** x in [xl, xh] at which the curve can take a value in [zl, zh]: ends are moved in by whole pieces, then by halves of the piece they stop in. */
export function curveInverse(out: Ends, curve: Cubics, xl: number, xh: number, zl: number, zh: number): Ends {
  const meets = () => out[0]! <= zh && out[1]! >= zl
  const answers = (from: number, to: number): boolean => eachPiece(out, curve, from, to, meets)
  const { knots } = curve
  const cuts = [xl, ...[...knots].filter(knot => knot > xl && knot < xh), xh]
  let first = 0
  while (first < cuts.length - 1 && !answers(cuts[first]!, cuts[first + 1]!)) first++
  if (first === cuts.length - 1) return setEmpty(out)
  let end = cuts.length - 1
  while (!answers(cuts[end - 1]!, cuts[end]!)) end--
  let [from, to] = [cuts[first]!, cuts[end]!]
  for (let reach = cuts[first + 1]!, n = 0; n < 12; n++) {
    const middle = 0.5 * (from + reach)
    if (!(middle > from)) break
    if (answers(from, middle)) reach = middle
    else from = middle
  }
  for (let reach = Math.max(from, cuts[end - 1]!), n = 0; n < 12; n++) {
    const middle = 0.5 * (reach + to)
    if (!(middle < to)) break
    if (answers(middle, to)) reach = middle
    else to = middle
  }
  out[0] = from
  out[1] = to
  return out
}

/** The piece in which x lies, the first where it lies before all. */
function firstTouched(knots: Float64Array, x: number): number {
  let low = 0
  let high = knots.length
  while (high - low > 1) {
    const middle = (low + high) >> 1
    if (knots[middle]! <= x) low = middle
    else high = middle
  }
  // A knot belongs to the piece before it as well: rounding may place a value on either side of a jump.
  return low > 0 && knots[low] === x ? low - 1 : low
}

/** The range of piece k for w from w0 to w1; true where there is one. */
function pieceRange(out: Ends, coefficients: Float64Array, k: number, w0: number, w1: number): boolean {
  const [c0, c1, c2, c3] = coefficients.subarray(4 * k, 4 * k + 4) as unknown as [number, number, number, number]
  const w = Math.max(Math.abs(w0), Math.abs(w1))
  const slack = SHARE * (Math.abs(c0) + w * (Math.abs(c1) + w * (Math.abs(c2) + w * Math.abs(c3)))) + Number.MIN_VALUE
  setEmpty(out)
  const see = (at: number): void => {
    const value = c0 + at * (c1 + at * (c2 + at * c3))
    out[0] = Math.min(out[0]!, value - slack)
    out[1] = Math.max(out[1]!, value + slack)
  }
  see(w0)
  see(w1)
  for (const turn of turns(c1, 2 * c2, 3 * c3)) if (turn > w0 && turn < w1) see(turn)
  return out[0]! <= out[1]!
}

/** Roots of a + b w + c w² = 0; in place of missing ones what lies in no piece. A root missed by rounding changes the value only in the second order there. */
function turns(a: number, b: number, c: number): readonly [number, number] {
  const q = -0.5 * (b + (b < 0 ? -1 : 1) * Math.sqrt(b * b - 4 * a * c))
  return [q / c, a / q]
}
