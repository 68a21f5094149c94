import { describe, expect, test } from 'vitest'
import { isBetter, isSmall, wholeDescent } from '../../solver/search/descend.ts'
import { AT_LEAST, AT_MOST, COULD, EQUAL_WITHIN, frameOf, MUST, SHOULD, WITHIN } from '../../solver/search/frame.ts'
import { leversOf } from '../../solver/search/levers.ts'
import { softsOf } from '../../solver/search/softs.ts'
import { searchOf } from '../support/late-ignition.ts'
import { plainProblem, sum, wish } from '../support/plain-problem.ts'
import { rangeOf } from '../support/rocket-search.ts'

// Source: by hand, from what each of them says of itself.

test('what shoulds and coulds are short is told by one variable for all that bound a row from the same side', () => {
  const told = (n: number) => {
    const ranges = Array.from({ length: n }, () => rangeOf(0, 1, 0))
    const of = (level: number, kind: number, ...rows: number[]) => ({ level, kind, rows, low: 0, high: 1, scale: 1 })
    return softsOf({
      levers: leversOf(ranges, new Float64Array(n), new Float64Array(n).fill(1)),
      targets: [
        of(MUST, AT_LEAST, 0),
        of(SHOULD, AT_LEAST, 0),
        of(SHOULD, AT_LEAST, 0),
        of(SHOULD, AT_MOST, 0),
        of(COULD, AT_LEAST, 0),
        of(SHOULD, WITHIN, 1),
        of(SHOULD, AT_MOST, 1),
        of(SHOULD, EQUAL_WITHIN, 1),
        of(SHOULD, AT_MOST, 0, 1),
      ],
    })
  }
  expect(told(2)).toEqual({
    single: false,
    levels: [SHOULD, SHOULD, COULD, SHOULD, SHOULD, SHOULD, SHOULD],
    sizes: [2, 1, 1, 1, 2, 1, 1],
    of: [
      [-1, -1],
      [0, 0],
      [0, 0],
      [1, 1],
      [2, 2],
      [3, 4],
      [4, 4],
      [5, 5],
      [6, 6],
    ],
  })
  // One lever falls or rises, whatever row it is that stops it.
  expect(told(1)).toEqual({
    single: true,
    levels: [SHOULD, SHOULD, COULD, COULD, SHOULD, SHOULD],
    sizes: [5, 5, 1, 1, 1, 1],
    of: [
      [-1, -1],
      [0, 1],
      [0, 1],
      [0, 1],
      [2, 3],
      [0, 1],
      [0, 1],
      [4, 4],
      [5, 5],
    ],
  })
})

describe('a move of a descent', () => {
  const problem = plainProblem(
    [rangeOf(0, 1, 4), rangeOf(0, 1, 0)],
    [{ of: sum(0, 1, 1) }],
    [wish(0, { low: 1 })],
    [{ sense: 'roomiest' }],
  )
  const frame = frameOf(problem, leversOf(problem.levers, problem.low, problem.high), [
    problem.fly(Float64Array.of(0.5, 0.5), 'tight', true),
  ])
  test('is small below a share of a step, of every lever', () => {
    const small = (a: number, b: number): boolean =>
      isSmall(frame, Float64Array.of(0.5, 0.5), Float64Array.of(0.5 + a, 0.5 + b), 0.5)
    expect([small(0.125, 0), small(-0.125, 0), small(0.126, 0), small(-0.126, 0)]).toEqual([true, true, false, false])
    expect([small(0, 0.0009), small(0, -0.0009), small(0, 0.0011), small(0.12, 0.0011)]).toEqual([
      true,
      true,
      false,
      false,
    ])
  })
  test('is better level by level, then by the levers’ distances from their middles where these count', () => {
    const { tiesAt, keySize } = frame
    const key = (...ties: readonly [number, number][]): Float64Array => {
      const all = new Float64Array(keySize)
      for (const [at, value] of ties) all[at] = value
      return all
    }
    const better = (a: Float64Array, b: Float64Array, ties = true): boolean =>
      isBetter(frame, a, b, 1e-4, { ...wholeDescent(1), ties, tie: 0.25 })
    const [one, two] = [tiesAt, tiesAt + 2]
    expect(better(key(), key())).toBe(false)
    expect([better(key(), key([one, 1])), better(key([one, 1]), key()), better(key(), key([one, 1]), false)]).toEqual([
      true,
      false,
      false,
    ])
    // The first lever decides before the second, but not by a tie or less.
    expect(better(key([one, 1]), key([two, 1]))).toBe(false)
    expect(better(key([two, 1]), key([one, 1]))).toBe(true)
    expect(better(key([one, 0.25]), key([two, 1]))).toBe(true)
    expect(better(key(), key([one, 0.25]))).toBe(false)
    expect(better(key([two, 1]), key([one, 0.25]))).toBe(false)
    expect(better(key([two, 0.2]), key())).toBe(false)
    // A violation below the slack is none; above it, it counts before anything.
    expect(better(key([0, 5e-5]), key([one, 1]))).toBe(true)
    expect(better(key([0, 1]), key([0, 2]))).toBe(true)
    expect(better(key([0, 2], [one, 0]), key([0, 1], [one, 1]))).toBe(false)
  })
})

test('an aim hangs on the levers that its figure reads, also on one that only chooses between two formulas', () => {
  const problem = searchOf(`
lever count from 1 to 4 in steps of 1
lever length from 1 m to 3 m
fact many = 2
figure price = if count >= many then 3 * length else 2 * length
must length at least 1 m
aim least length
aim least price
`)
  const levers = leversOf(problem.levers, problem.low, problem.high)
  const middle = problem.fly(Float64Array.of(2, 2), 'tight', true)
  const { parts } = frameOf(problem, levers, [middle])
  expect(parts.flatMap(part => (part.kind === 'aim' ? part.lever : []))).toEqual([1, -1])
})
