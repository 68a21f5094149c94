import { describe, expect, test } from 'vitest'
import { constantCurve, curveAt, curveEnd, curveSlope, pchip, pieceAt } from '../../solver/model/curve.ts'
import { CURVES } from '../outside/curves.ts'

describe('a shape-preserving cubic', () => {
  test.each(CURVES)('through $x and $y is SciPy’s, value and slope', ({ x, y, values, slopes }) => {
    const curve = pchip(x, y)
    const [from, to] = [x[0]!, x.at(-1)!]
    expect(values.length).toBe(7)
    for (let k = 0; k < 7; k++) {
      const at = from + ((to - from) * (k + 1)) / 8
      expect(curveAt(curve, at)).toBeCloseTo(values[k]!, 10)
      expect(curveSlope(curve, at)).toBeCloseTo(slopes[k]!, 9)
    }
    for (const [k, knot] of x.entries()) expect(curveAt(curve, knot)).toBeCloseTo(y[k]!, 13)
  })

  test('of one point is a constant, of none or of unequal lists our own mistake', () => {
    expect(pchip([3], [7])).toEqual({ knots: Float64Array.of(3), coefficients: Float64Array.of(7, 0, 0, 0) })
    expect(() => pchip([], [])).toThrow('pchip: 0 abscissae, 0 values')
    expect(() => pchip([1, 2], [1])).toThrow('pchip: 2 abscissae, 1 values')
  })
})

describe('outside its knots', () => {
  const curve = pchip([1, 2, 4], [3, 5, 6])

  test('a curve keeps its ends, without slope, and NaN stays NaN', () => {
    expect([curveAt(curve, -9), curveAt(curve, 1), curveAt(curve, 4), curveAt(curve, 99)]).toEqual([3, 3, 6, 6])
    expect([curveSlope(curve, 0.999), curveSlope(curve, 4), curveSlope(curve, 99)]).toEqual([0, 0, 0])
    expect(curveSlope(curve, 1)).toBeGreaterThan(0)
    expect([curveAt(curve, Number.NaN), curveSlope(curve, Number.NaN)]).toEqual([Number.NaN, Number.NaN])
  })

  test('a constant is the same everywhere, and flat', () => {
    const flat = constantCurve(0.42)
    expect([-5, 0, 5].map(x => curveAt(flat, x))).toEqual([0.42, 0.42, 0.42])
    expect([-5, 0, 5].map(x => curveSlope(flat, x))).toEqual([0, 0, 0])
  })

  test('a curve with a piece for its last knot ends in that piece’s value', () => {
    const jump = { knots: Float64Array.of(0, 1), coefficients: Float64Array.of(1, 2, 0, 0, 9, 0, 0, 0) }
    expect([curveEnd(jump), curveAt(jump, 1), curveAt(jump, 7), curveAt(jump, 0.5)]).toEqual([9, 9, 9, 2])
    const cubic = { knots: Float64Array.of(0, 1, 3), coefficients: Float64Array.of(0, 0, 0, 0, 1, 2, 3, 4) }
    expect(curveEnd(cubic)).toBe(1 + 2 * 2 + 3 * 4 + 4 * 8)
  })
})

test('a place lies in the piece of the last knot at or below it', () => {
  const knots = Float64Array.of(-1, 0, 2, 5)
  expect([-2, -1, -0.5, 0, 1.9, 2, 4.9, 5, 6].map(x => pieceAt(knots, x))).toEqual([-1, 0, 0, 1, 1, 2, 2, 3, 3])
  expect(pieceAt(Float64Array.of(), 1)).toBe(-1)
})
