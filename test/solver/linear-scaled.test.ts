import { describe, expect, test } from 'vitest'
import type { LinearRow, LinearVariable } from '../../solver/linear/index.ts'
import { largestMiss, scale, unscaled } from '../../solver/linear/scaled.ts'

// Source: x = origin + unit · u, put into the rows by hand.

const INF = Number.POSITIVE_INFINITY
const variable = (low: number, high: number, nominal = 1): LinearVariable => ({ low, high, nominal })
const row = (at: number[], by: number[], low: number, high: number): LinearRow => ({ at, by, low, high })

describe('a variable is measured', () => {
  test('from its lower end by its width, or by its nominal size from the end that it has', () => {
    const variables = [
      variable(2, 6, 9),
      variable(2, INF, 4),
      variable(-INF, 6, 4),
      variable(-INF, INF, 4),
      variable(3, 3, 5),
    ]
    expect(scale({ variables, rows: [] }).axes).toEqual([
      { origin: 2, unit: 4, low: 0, high: 1 },
      { origin: 2, unit: 4, low: 0, high: INF },
      { origin: 6, unit: 4, low: -INF, high: 0 },
      { origin: 0, unit: 4, low: -INF, high: INF },
      { origin: 3, unit: 5, low: 0, high: 0 },
    ])
    const point = unscaled([0.5, 2, -1, 3, 0], scale({ variables, rows: [] }), variables)
    expect([...point]).toEqual([4, 10, 2, 12, 3])
    expect([...unscaled([1.5, -1, 1, 0, 1], scale({ variables, rows: [] }), variables)]).toEqual([6, 2, 6, 0, 3])
  })
})

describe('a row', () => {
  const variables = [variable(10, 20), variable(0, 4), variable(7, 7)]
  const kept = (...rows: LinearRow[]) => scale({ variables, rows })

  test('stands over its largest coefficient, variables without width put in', () => {
    const { rows, impossible, sound } = kept(row([0, 1, 2], [1, -5, 2], 20, 30))
    // 10 u + 10 − 20 v + 14 within 20 … 30.
    expect(rows).toEqual([{ at: [0, 1], by: [0.5, -1], low: -0.2, high: 0.3, place: 0, size: 20 }])
    expect({ impossible, sound }).toEqual({ impossible: -1, sound: true })
  })

  test('that nothing inside the bounds can break is left out, one that one end can break is not', () => {
    expect(kept(row([0], [1], 10, 20), row([0], [1], -INF, 25), row([2], [1], 5, 9)).rows).toEqual([])
    expect(kept(row([0], [1], 11, 20), row([0], [1], 10, 19)).rows.map(({ place }) => place)).toEqual([0, 1])
    expect(kept(row([0, 1], [1, 0], 11, 20)).rows[0]!.at).toEqual([0])
  })

  test.each([
    ['above all that it can be', row([0], [1], 21, 30), 0],
    ['below all that it can be', row([0], [1], 1, 9), 0],
    ['upside down', row([0], [1], 15, 14), 0],
    ['without a variable of any width', row([2], [1], 8, 9), 0],
    ['a hair beyond what it can be', row([0], [1], 20 + 1e-9, 30), -1],
    ['a hair below what it can be', row([0], [1], 0, 10 - 1e-9), -1],
    ['a hair off, without width', row([2], [1e6], 7e6 + 1e-3, 8e6), -1],
    ['more than a hair off, without width', row([2], [1e6], 7e6 + 1e-2, 8e6), 0],
  ] as const)('%s is told', (_, told, impossible) => {
    expect(kept(told).impossible).toBe(impossible)
    expect(kept(row([0], [1], 11, 19), told).impossible).toBe(impossible === 0 ? 1 : -1)
  })

  test('with a coefficient a million times smaller than another is not sure any more', () => {
    const units = [variable(0, 1), variable(0, 1)]
    const sound = (by: number): boolean => scale({ variables: units, rows: [row([0, 1], [1, by], 0.5, 0.6)] }).sound
    expect([1e-6, 0.99e-6, -0.99e-6, 0].map(sound)).toEqual([true, false, false, true])
  })
})

test('the largest miss is of a bound or of a row, on either side', () => {
  const scaled = scale({ variables: [variable(0, 1), variable(0, 1)], rows: [row([0, 1], [1, 0.5], 0.5, 1)] })
  expect(largestMiss([0.5, 0.5], scaled)).toBe(0)
  expect(largestMiss([0.5, -0.25], scaled)).toBeCloseTo(0.25, 15)
  expect(largestMiss([-0.25, 1], scaled)).toBeCloseTo(0.25, 15)
  expect(largestMiss([1.5, -1], scaled)).toBe(1)
  expect(largestMiss([0, 0], scaled)).toBe(0.5)
  expect(largestMiss([1, 1], scaled)).toBe(0.5)
  expect(largestMiss([Number.NaN, 0], scaled)).toBe(INF)
})
