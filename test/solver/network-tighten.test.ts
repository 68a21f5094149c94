import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Affine } from '../../solver/network/affine.ts'
import { type Bounds, tightenByPrograms, tightenByRows } from '../../solver/network/tighten.ts'

// Source: rows solved for one column by hand; and for the property, points that hold every row.

const INF = Number.POSITIVE_INFINITY
/** A row f ≥ 0: coefficients as numbers or as the ends of intervals, then a constant. */
const row = (by: readonly (number | readonly [number, number])[], offset: number): Affine => {
  const ends = by.map(c => (typeof c === 'number' ? ([c, c] as const) : c))
  return {
    at: [...by.keys()],
    low: ends.map(([low]) => low),
    high: ends.map(([, high]) => high),
    least: offset,
    most: offset,
  }
}
const box = (...ends: (readonly [number, number])[]): Bounds => ({
  low: Float64Array.from(ends, ([low]) => low),
  high: Float64Array.from(ends, ([, high]) => high),
})
const told = ({ low, high }: Bounds): number[][] => [...low].map((least, j) => [least, high[j]!])
const about = (x: number): number => expect.closeTo(x, 9)

describe('a row by itself', () => {
  const narrowed = (one: Affine, ...ends: (readonly [number, number])[]): number[][] | null => {
    const bounds = box(...ends)
    return tightenByRows([one], bounds) ? told(bounds) : null
  }
  test('asks of each column what the others cannot give', () => {
    expect(narrowed(row([2, 1], -10), [0, 10], [0, 4])).toEqual([
      [about(3), 10],
      [0, 4],
    ])
    expect(narrowed(row([-2, 1], 1), [0, 10], [-8, 4])).toEqual([
      [0, about(2.5)],
      [about(-1), 4],
    ])
  })
  test('asks by the end of a coefficient’s interval that asks least', () => {
    expect(narrowed(row([[2, 4]], -6), [0, 10])).toEqual([[about(1.5), 10]])
    expect(narrowed(row([[2, 4]], 6), [-10, 10])).toEqual([[about(-3), 10]])
    expect(narrowed(row([[-4, -2]], 6), [-10, 10])).toEqual([[-10, about(3)]])
    expect(narrowed(row([[-4, -2]], -6), [-10, 10])).toEqual([[-10, about(-1.5)]])
    expect(narrowed(row([[-1, 1], 1], -3), [-2, 2], [0, 9])).toEqual([
      [-2, 2],
      [about(1), 9],
    ])
  })
  test('says nothing of a column beside one without an end, and something of that one', () => {
    expect(narrowed(row([1, 1], -10), [0, 4], [0, INF])).toEqual([
      [0, 4],
      [about(6), INF],
    ])
    expect(narrowed(row([1, 1], -10), [0, INF], [0, INF])).toEqual([
      [0, INF],
      [0, INF],
    ])
  })
  test('that a corner of the box alone holds leaves that triangle, and one that none holds is told', () => {
    expect(narrowed(row([1, 1], -9), [0, 5], [0, 4])).toEqual([
      [about(5), 5],
      [about(4), 4],
    ])
    expect(narrowed(row([1], -5), [5, 5])).toEqual([[5, 5]])
    expect(narrowed(row([1, 1], -9.1), [0, 5], [0, 4])).toBeNull()
  })
})

describe('rows together', () => {
  // 2x + y ≥ 6, x + 2y ≥ 6 and x + y ≤ 4.3: the triangle (2, 2), (1.7, 2.6), (2.6, 1.7).
  const triangle = [row([2, 1], -6), row([1, 2], -6), row([-1, -1], 4.3)]
  test('narrow what none of them does alone', () => {
    const bounds = box([0, 9], [0, 9])
    expect(tightenByPrograms(triangle, bounds, [0, 1])).toBe(true)
    expect(told(bounds)).toEqual([
      [about(1.7), about(2.6)],
      [about(1.7), about(2.6)],
    ])
  })
  test('narrow the wanted columns only', () => {
    const bounds = box([0, 9], [0, 9])
    expect(tightenByPrograms(triangle, bounds, [1])).toBe(true)
    expect(told(bounds)).toEqual([
      [0, 9],
      [about(1.7), about(2.6)],
    ])
  })
  test('may have no point although each has', () => {
    const apart = [...triangle.slice(0, 2), row([-1, -1], 3.9)]
    expect(tightenByRows(apart, box([0, 9], [0, 9]))).toBe(true)
    expect(tightenByPrograms(apart, box([0, 9], [0, 9]), [0])).toBe(false)
    expect(tightenByPrograms(apart, box([5, 5], [0, 9]), [0])).toBe(true)
  })
  test('are reasoned with in intervals: coefficients that are not known leave room', () => {
    const bounds = box([0, 9], [0, 9])
    tightenByPrograms([row([[1.9, 2.1], 1], -6), ...triangle.slice(1)], bounds, [0])
    // At best x ≥ 1.7/1.1, of 2.1 x + y ≥ 6 and x + y ≤ 4.3; at worst what 0.1·9 takes from 1.7.
    expect(bounds.low[0]).toBeLessThanOrEqual(1.7 / 1.1)
    expect(bounds.low[0]).toBeGreaterThan(0.79)
    expect(bounds.high[0]).toBeCloseTo(2.6, 9)
  })
})

test('no point that holds the rows for some coefficients is ever cut off', () => {
  const number = fc.integer({ min: -40, max: 40 }).map(n => n / 10)
  const asked = fc.tuple(
    fc.array(fc.tuple(number, fc.constantFrom(0, 0, 0.3), number, number, number), { minLength: 1, maxLength: 4 }),
    fc.tuple(number, number, number),
    fc.tuple(fc.constantFrom(0, 1, INF), fc.constantFrom(0.5, 3, INF), fc.constantFrom(0, 2)),
  )
  fc.assert(
    fc.property(asked, ([rows, point, room]) => {
      const all = rows.map(([slack, wide, ...c]) => {
        const value = c.reduce((sum, factor, j) => sum + factor * point[j]!, 0)
        return row(
          c.map(factor => [factor, factor + wide] as const),
          Math.abs(slack) - value + 1e-9,
        )
      })
      for (const tighten of [
        (bounds: Bounds) => tightenByRows(all, bounds),
        (bounds: Bounds) => tightenByPrograms(all, bounds, [0, 1, 2]),
      ]) {
        const bounds = box(...point.map((x, j) => [x - room[j]!, x + room[j]!] as const))
        expect(tighten(bounds)).toBe(true)
        point.forEach((x, j) => {
          expect(bounds.low[j]).toBeLessThanOrEqual(x)
          expect(bounds.high[j]).toBeGreaterThanOrEqual(x)
        })
      }
    }),
    { numRuns: 150 },
  )
})
