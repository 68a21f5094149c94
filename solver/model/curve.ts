import type { Curve } from './expr.ts'

/** A curve that is the same everywhere. */
export function constantCurve(value: number): Curve {
  return { knots: Float64Array.of(0), coefficients: Float64Array.of(value, 0, 0, 0) }
}

/**
 * The shape-preserving cubic through points with x rising: it overshoots nowhere, and is held constant outside.
 * Inner slopes: Fritsch & Butland, SIAM J. Sci. Stat. Comput. 5 (1984), a weighted harmonic mean of the neighbouring slopes;
 * end slopes: the three-point formula limited as SciPy's PchipInterpolator limits it. One point gives a constant.
 */
export function pchip(x: ArrayLike<number>, y: ArrayLike<number>): Curve {
  const count = x.length
  if (count !== y.length || count === 0) throw new Error(`pchip: ${count} abscissae, ${y.length} values`)
  if (count === 1) return { knots: Float64Array.of(x[0]!), coefficients: Float64Array.of(y[0]!, 0, 0, 0) }
  const knots = Float64Array.from(x)
  const slopes = pchipSlopes(knots, Float64Array.from(y))
  const coefficients = new Float64Array(4 * (count - 1))
  for (let k = 0; k + 1 < count; k++) {
    const width = knots[k + 1]! - knots[k]!
    const chord = (y[k + 1]! - y[k]!) / width
    coefficients[4 * k] = y[k]!
    coefficients[4 * k + 1] = slopes[k]!
    coefficients[4 * k + 2] = (3 * chord - 2 * slopes[k]! - slopes[k + 1]!) / width
    coefficients[4 * k + 3] = (slopes[k]! + slopes[k + 1]! - 2 * chord) / (width * width)
  }
  return { knots, coefficients }
}

function pchipSlopes(x: Float64Array, y: Float64Array): Float64Array {
  const last = x.length - 1
  const width = (k: number): number => x[k + 1]! - x[k]!
  const chord = (k: number): number => (y[k + 1]! - y[k]!) / width(k)
  const slopes = new Float64Array(last + 1)
  if (last === 1) return slopes.fill(chord(0))
  for (let k = 1; k < last; k++) {
    const before = chord(k - 1)
    const after = chord(k)
    if (!(before * after > 0)) continue
    const w1 = 2 * width(k) + width(k - 1)
    const w2 = width(k) + 2 * width(k - 1)
    slopes[k] = (w1 + w2) / (w1 / before + w2 / after)
  }
  slopes[0] = endSlope(width(0), width(1), chord(0), chord(1))
  slopes[last] = endSlope(width(last - 1), width(last - 2), chord(last - 1), chord(last - 2))
  return slopes
}

/** One-sided three-point slope, held to the sign of the outer chord and to three times it where the inner chord turns. */
function endSlope(outer: number, inner: number, outerChord: number, innerChord: number): number {
  const slope = ((2 * outer + inner) * outerChord - outer * innerChord) / (outer + inner)
  if (Math.sign(slope) !== Math.sign(outerChord)) return 0
  if (Math.sign(outerChord) !== Math.sign(innerChord) && Math.abs(slope) > 3 * Math.abs(outerChord))
    return 3 * outerChord
  return slope
}

/** The last knot at or below x; −1 below the first. */
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

/** The value of a curve at x, held constant outside its knots; NaN at NaN. */
export function curveAt({ knots, coefficients }: Curve, x: number): number {
  if (!(x >= knots[0]!)) return x < knots[0]! ? coefficients[0]! : Number.NaN
  const last = knots.length - 1
  if (x >= knots[last]!) return curveEnd({ knots, coefficients })
  const piece = pieceAt(knots, x)
  const w = x - knots[piece]!
  const at = 4 * piece
  return coefficients[at]! + w * (coefficients[at + 1]! + w * (coefficients[at + 2]! + w * coefficients[at + 3]!))
}

/** Its slope at x: at a knot that of the piece which begins there, at the last knot and outside 0. */
export function curveSlope({ knots, coefficients }: Curve, x: number): number {
  if (!(x >= knots[0]! && x < knots[knots.length - 1]!)) return Number.isNaN(x) ? x : 0
  const piece = pieceAt(knots, x)
  const w = x - knots[piece]!
  const at = 4 * piece
  return coefficients[at + 1]! + w * (2 * coefficients[at + 2]! + w * 3 * coefficients[at + 3]!)
}

/** The value at and beyond the last knot: a piece of its own where the curve has as many pieces as knots, else the end of the last one. */
export function curveEnd({ knots, coefficients }: Curve): number {
  const last = knots.length - 1
  if (coefficients.length >= 4 * knots.length) return coefficients[4 * last]!
  const w = knots[last]! - knots[last - 1]!
  const at = 4 * (last - 1)
  return coefficients[at]! + w * (coefficients[at + 1]! + w * (coefficients[at + 2]! + w * coefficients[at + 3]!))
}
