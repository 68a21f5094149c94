import { describe, expect, test } from 'vitest'
import * as interval from '../../solver/interval/index.ts'
import { down, up, wellDown, wellUp } from '../../solver/interval/rounding.ts'

const INF = Number.POSITIVE_INFINITY
const out = new Float64Array(2)
const near = (low: number, high: number) => [expect.closeTo(low, 11), expect.closeTo(high, 11)]
const ends = (of: Float64Array) => [...of]
const EMPTY = [INF, -INF]

describe('rounding outwards', () => {
  // A place is 2^-52 from 1 to 2, and half of that below 1 (IEEE 754).
  const PLACE = 2 ** -52
  test('by a place or two, for the engine’s functions by eight', () => {
    expect(up(1)).toBe(1 + PLACE)
    expect(down(-1)).toBe(-1 - PLACE)
    expect(wellUp(1)).toBe(1 + 8 * PLACE)
    expect(wellDown(1)).toBe(1 - 8 * PLACE)
    for (const x of [0, 5e-324, -5e-324, 1e-310, -3e300, 7]) {
      expect(up(x)).toBeGreaterThan(x)
      expect(down(x)).toBeLessThan(x)
    }
  })
  test('what is lost is bounded by what no number exceeds', () => {
    for (const above of [up, wellUp]) {
      expect(above(-INF)).toBe(-Number.MAX_VALUE)
      expect(above(INF)).toBe(INF)
      expect(above(Number.NaN)).toBe(INF)
    }
    for (const below of [down, wellDown]) {
      expect(below(INF)).toBe(Number.MAX_VALUE)
      expect(below(-INF)).toBe(-INF)
      expect(below(Number.NaN)).toBe(-INF)
    }
  })
})

describe('zero, infinity and nothing', () => {
  test('zero times the whole line is zero', () => {
    expect(ends(interval.mul(out, 0, 0, -INF, INF))).toEqual(near(0, 0))
    expect(ends(interval.mul(out, 0, 2, 1, INF))).toEqual([expect.closeTo(0, 12), INF])
  })
  test('division by zero alone is empty, by one sign a half line, by both the whole line', () => {
    expect(ends(interval.div(out, 1, 2, 0, 0))).toEqual(EMPTY)
    expect(ends(interval.div(out, 1, 2, 0, 4))).toEqual([expect.closeTo(0.25, 12), INF])
    expect(ends(interval.div(out, 1, 2, -4, 0))).toEqual([-INF, expect.closeTo(-0.25, 12)])
    expect(ends(interval.div(out, 1, 2, -1, 1))).toEqual([-INF, INF])
    expect(ends(interval.div(out, 0, 0, -1, 1))).toEqual([0, 0])
    expect(ends(interval.div(out, 1, INF, 1, INF))).toEqual([expect.closeTo(0, 12), INF])
  })
  test('infinite minus infinite may be anything', () => {
    expect(ends(interval.sub(out, INF, INF, INF, INF))).toEqual([-INF, INF])
    expect(ends(interval.add(out, INF, INF, 1, 2))).toEqual([expect.any(Number), INF])
  })
  test('what overflows is still bounded on the other side', () => {
    interval.mul(out, 1e200, 1e300, 1e200, 1e300)
    expect(out[0]).toBe(Number.MAX_VALUE)
    interval.mul(out, -1e300, -1e200, 1e200, 1e300)
    expect(ends(out)).toEqual([-INF, -Number.MAX_VALUE])
  })
  test('functions keep to their domain', () => {
    expect(ends(interval.sqrt(out, -2, -1))).toEqual(EMPTY)
    expect(ends(interval.sqrt(out, -1, 4))).toEqual(near(0, 2))
    expect(ends(interval.ln(out, -1, 0))).toEqual(EMPTY)
    expect(ends(interval.ln(out, 0, 1))).toEqual([-INF, expect.closeTo(0, 12)])
    expect(ends(interval.asin(out, 1.1, 2))).toEqual(EMPTY)
    expect(ends(interval.acos(out, -5, 5))).toEqual(near(0, Math.PI))
  })
})

describe('turning points', () => {
  test('sine and cosine reach their crests only where they lie inside', () => {
    expect(ends(interval.sin(out, 0, Math.PI))).toEqual(near(0, 1))
    expect(ends(interval.sin(out, 0, 1))).toEqual(near(0, Math.sin(1)))
    expect(ends(interval.cos(out, 3, 4))).toEqual(near(-1, Math.cos(4)))
    expect(ends(interval.cos(out, 0, 100))).toEqual([-1, 1])
    expect(ends(interval.sin(out, 1e9, 1e9))).toEqual([-1, 1])
  })
  test('a tangent over a pole is the whole line', () => {
    expect(ends(interval.tan(out, 1, 2))).toEqual([-INF, INF])
    expect(ends(interval.tan(out, -1, 1))).toEqual(near(Math.tan(-1), Math.tan(1)))
  })
  test('powers turn at zero, or have none there', () => {
    expect(ends(interval.pow(out, -2, 3, 2, 2))).toEqual(near(0, 9))
    expect(ends(interval.pow(out, -2, 3, 3, 3))).toEqual(near(-8, 27))
    expect(ends(interval.pow(out, -2, -1, -1, -1))).toEqual(near(-1, -0.5))
    expect(ends(interval.pow(out, -2, 4, -2, -2))).toEqual([expect.closeTo(1 / 16, 12), INF])
    expect(ends(interval.pow(out, -2, 4, 0.5, 0.5))).toEqual(near(0, 2))
    expect(ends(interval.pow(out, -2, -1, 0.5, 0.5))).toEqual(EMPTY)
    expect(ends(interval.pow(out, 0, 0, -1, -1))).toEqual(EMPTY)
    expect(ends(interval.pow(out, 0.5, 2, -1, 2))).toEqual(near(0.25, 4))
  })
  test('a cubic’s turning points count', () => {
    // w³ − w from −… : turns at 1/√3 with −2/(3√3).
    const curve = { knots: Float64Array.of(0, 2), coefficients: Float64Array.of(0, -1, 0, 1) }
    expect(ends(interval.curveRange(out, curve, 0, 1))).toEqual(near(-2 / (3 * Math.sqrt(3)), 0))
    expect(ends(interval.curveRange(out, curve, -5, 9))).toEqual(near(-2 / (3 * Math.sqrt(3)), 6))
    expect(ends(interval.curveRange(out, curve, 5, 9))).toEqual(near(6, 6))
    expect(ends(interval.curveRange(out, curve, -5, -1))).toEqual(near(0, 0))
  })
})

describe('backwards', () => {
  test('a factor is split by zero and keeps the side that it can', () => {
    expect(ends(interval.factor(out, 0, 10, 1, 2, -1, 1))).toEqual([expect.closeTo(1, 12), 10])
    expect(ends(interval.factor(out, -0.5, 0.5, 1, 2, -1, 1))).toEqual(EMPTY)
    expect(ends(interval.factor(out, -5, 5, 1, 2, 0, 0))).toEqual(EMPTY)
    expect(ends(interval.factor(out, -5, 5, -1, 2, -1, 1))).toEqual([-5, 5])
  })
  test('a square leaves two sides', () => {
    expect(ends(interval.squared(out, -10, 10, 4, 9))).toEqual(near(-3, 3))
    expect(ends(interval.squared(out, -1, 10, 4, 9))).toEqual(near(2, 3))
    expect(ends(interval.squared(out, -1, 1, 4, 9))).toEqual(EMPTY)
    expect(ends(interval.squared(out, -1, 1, -9, -4))).toEqual(EMPTY)
  })
  test('roots of powers', () => {
    expect(ends(interval.powerBase(out, -10, 10, -8, 27, 3))).toEqual(near(-2, 3))
    expect(ends(interval.powerBase(out, -10, 10, 4, 16, -2))).toEqual(near(-0.5, 0.5))
    expect(ends(interval.powerBase(out, 0, 10, 4, 16, -2))).toEqual(near(0.25, 0.5))
    expect(ends(interval.powerBase(out, -10, 10, 2, 3, 0.5))).toEqual(near(4, 9))
    expect(ends(interval.powerBase(out, -10, 10, -3, -2, 0.5))).toEqual(EMPTY)
  })
  test('angles on one stretch follow their sine, over several they stay', () => {
    expect(ends(interval.sineOf(out, 0, 1.5, 0.5, 2))).toEqual([expect.closeTo(Math.PI / 6, 9), 1.5])
    expect(ends(interval.sineOf(out, 2, 4, 0.5, 2))).toEqual([2, expect.closeTo((5 * Math.PI) / 6, 9)])
    expect(ends(interval.sineOf(out, 0, 20, 0.5, 2))).toEqual([0, 20])
    expect(ends(interval.cosineOf(out, 0, 3, 0.5, 2))).toEqual([0, expect.closeTo(Math.PI / 3, 9)])
    expect(ends(interval.tangentOf(out, 3, 4, 0, 1))).toEqual(near(Math.PI, 1.25 * Math.PI))
    expect(ends(interval.sineOf(out, 0, 1, 1.5, 2))).toEqual(EMPTY)
  })
  test('a table’s argument is narrowed to where it can answer', () => {
    const curve = { knots: Float64Array.of(0, 1, 2), coefficients: Float64Array.of(0, 1, 0, 0, 5, 1, 0, 0) }
    const [low, high] = interval.curveInverse(out, curve, -3, 9, 5.2, 5.5)
    expect(low).toBeGreaterThan(1.19)
    expect(low).toBeLessThanOrEqual(1.2)
    expect(high).toBeGreaterThanOrEqual(1.5)
    expect(high).toBeLessThan(1.51)
    expect(ends(interval.curveInverse(out, curve, -3, 9, 2, 3))).toEqual(EMPTY)
    expect(ends(interval.curveInverse(out, curve, 4, 4, 6, 6))).toEqual([4, 4])
  })
})
