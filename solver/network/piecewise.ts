import type { Curve } from '../model/expr.ts'

/** The last knot at or below x, −1 below the first. */
export function pieceAt(knots: Float64Array, x: number): number {
  let low = -1
  let high = knots.length
  while (high - low > 1) {
    const middle = (low + high) >> 1
    if (knots[middle]! <= x) low = middle
    else high = middle
  }
  return low
}

/** The value of a curve, held constant outside its knots; NaN at NaN. */
export function curveValue({ knots, coefficients }: Curve, x: number): number {
  if (!(x >= knots[0]!)) return x < knots[0]! ? coefficients[0]! : Number.NaN
  const last = knots.length - 1
  if (x >= knots[last]!) return endValue(knots, coefficients)
  const piece = pieceAt(knots, x)
  const w = x - knots[piece]!
  const at = 4 * piece
  return coefficients[at]! + w * (coefficients[at + 1]! + w * (coefficients[at + 2]! + w * coefficients[at + 3]!))
}

/** Its slope; at a knot the one of the piece that begins there, at the last knot and outside 0. */
export function curveSlope({ knots, coefficients }: Curve, x: number): number {
  if (!(x >= knots[0]! && x < knots[knots.length - 1]!)) return 0
  const piece = pieceAt(knots, x)
  const w = x - knots[piece]!
  const at = 4 * piece
  return coefficients[at + 1]! + w * (2 * coefficients[at + 2]! + w * 3 * coefficients[at + 3]!)
}

/** The value at and beyond the last knot: a piece of its own where the curve has one as many as knots, else the end of the last piece. */
function endValue(knots: Float64Array, coefficients: Float64Array): number {
  const last = knots.length - 1
  if (coefficients.length >= 4 * knots.length) return coefficients[4 * last]!
  const w = knots[last]! - knots[last - 1]!
  const at = 4 * (last - 1)
  return coefficients[at]! + w * (coefficients[at + 1]! + w * (coefficients[at + 2]! + w * coefficients[at + 3]!))
}
