import type { Curve } from '../../model/expr.ts'
import type { Craft } from './craft.ts'

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

/** What a motor of a thrust curve burns in a while from a moment on [kg], inside one piece of the curve. */
export function burnt(
  { shape, shapePiece, cap, ignition, vacuum, exhaust }: Craft,
  from: number,
  span: number,
): number {
  const { knots, coefficients } = shape!
  const at = 4 * shapePiece
  const x = cap * (from - ignition) - knots[shapePiece]!
  const y = x + cap * span
  const whole = (z: number): number =>
    z *
    (coefficients[at]! +
      z * (coefficients[at + 1]! / 2 + z * (coefficients[at + 2]! / 3 + (z * coefficients[at + 3]!) / 4)))
  return (vacuum / (exhaust * cap)) * (whole(y) - whole(x))
}
