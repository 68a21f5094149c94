import type { Curve } from '../../model/expr.ts'

/** Piece of a curve at x, also a little beyond its ends; a curve of one knot is constant. */
export function cubic({ knots, coefficients }: Curve, piece: number, x: number): number {
  const w = x - knots[piece]!
  const at = 4 * piece
  return coefficients[at]! + w * (coefficients[at + 1]! + w * (coefficients[at + 2]! + w * coefficients[at + 3]!))
}

/** Its slope there. */
export function cubicSlope({ knots, coefficients }: Curve, piece: number, x: number): number {
  const w = x - knots[piece]!
  const at = 4 * piece
  return coefficients[at + 1]! + w * (2 * coefficients[at + 2]! + w * 3 * coefficients[at + 3]!)
}
