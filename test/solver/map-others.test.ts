import { describe, expect, test } from 'vitest'
import { traceMap } from '../../solver/map/map.ts'
import { newMapMemory, remembering, rememberOf } from '../../solver/map/memory.ts'
import { othersSolved } from '../../solver/map/others.ts'
import type { SearchProblem, SearchTarget } from '../../solver/search/problem.ts'
import { plainProblem, sum, wish } from '../support/plain-problem.ts'
import { inside } from '../support/rings.ts'
import { rangeOf } from '../support/rocket-search.ts'

// Source: sums and products put in by hand.

test('what was flown just so is taken from the memory, until it is of something else', () => {
  const log: string[] = []
  const memory = newMapMemory()
  rememberOf(memory, 'one')
  const problem = remembering(
    plainProblem([rangeOf(0, 4, 0), rangeOf(0, 4, 0)], [{ of: sum(0, 1, 10) }], [], [], log),
    memory,
  )
  const fly = (x: number, y: number, accuracy: 'loose' | 'medium' = 'medium'): number => {
    const { rows } = problem.fly(Float64Array.of(x, y), accuracy, true)
    expect([...rows]).toEqual([x + 10 * y])
    return log.length
  }
  expect([fly(1, 2), fly(1, 2), fly(1, 3), fly(2, 2), fly(1, 2, 'loose'), fly(1, 3)]).toEqual([1, 1, 2, 3, 4, 4])
  rememberOf(memory, 'one')
  expect(fly(1, 2)).toBe(4)
  rememberOf(memory, 'two')
  expect([memory.of, fly(1, 2)]).toEqual(['two', 5])
})

describe('other levers solved anew at each place', () => {
  const [a, b] = [rangeOf(0, 4, 0), rangeOf(0, 1, 0)]
  /** One lever c from 0 to 1 with a + b + c at least 3, b·c at most 0.25 and, as a wish, c at most 0.5. */
  const inner =
    (limits: readonly SearchTarget[]) =>
    (x: number, y: number): SearchProblem =>
      plainProblem(
        [rangeOf(0, 1, 0)],
        [
          { exact: true, of: sum(x + y, 1) },
          { exact: true, of: sum(0, y) },
          { exact: true, of: sum(0, 1) },
        ],
        limits,
      )
  const musts = [wish(0, { low: 3 }), wish(1, { high: 0.25 })]
  const at = (limits: readonly SearchTarget[], x: number, y: number) => {
    const { rows, work, lifts } = othersSolved([a, b], inner(limits)).fly(Float64Array.of(x, y), 'medium', false)
    expect([work > 0 || limits.length === 0, lifts]).toEqual([true, true])
    return [...rows]
  }
  test('the smallest margin is the largest that they can make it', () => {
    // (2 + b + c − 3)/3 and (0.25 − b c)/0.25 at b = 0.8 meet at c = 3.2/10.6.
    expect(at(musts, 2, 0.8)[0]).toBeCloseTo((3.2 / 10.6 - 0.2) / 3, 5)
    // At b = 1: c/3 and 1 − 4 c meet at c = 3/13.
    expect(at(musts, 2, 1)).toEqual([expect.closeTo(1 / 13, 5), expect.closeTo(1 / 13, 5)])
    expect(at(musts, 0, 0.5)[0]).toBeLessThan(0)
  })
  test('shoulds count in the second row alone, and no margin beyond a whole limit is told', () => {
    const all = [...musts, wish(2, { high: 0.1, level: 'should' })]
    // c/3 and 1 − 4 c meet at 3/13, c/3 and 1 − 10 c at 3/31.
    expect(at(all, 2, 1)).toEqual([expect.closeTo(1 / 13, 5), expect.closeTo(1 / 31, 5)])
    expect(at([wish(0, { low: 0.1 })], 4, 1)).toEqual([1, 1])
    expect(at([wish(0, { high: 0.1 })], 4, 1)).toEqual([-1, -1])
    expect(at([], 4, 1)).toEqual([1, 1])
  })
  test('a map of it is where some setting of them meets the musts', () => {
    const { region } = traceMap(othersSolved([a, b], inner(musts)), { across: 0, cells: 8, aims: 0, sloped: false })
    for (let i = 1; i < 8; i++)
      for (let j = 1; j < 8; j++) {
        const [x, y] = [i / 2 + 0.01, j / 8 + 0.003]
        const room = x + y + Math.min(1, 0.25 / y) - 3
        if (Math.abs(room) > 0.2) expect([x, y, inside(region, [x, y])]).toEqual([x, y, room > 0])
      }
  })
})
