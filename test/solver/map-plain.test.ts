import { describe, expect, test } from 'vitest'
import { type MapRequest, type TradeMap, traceMap } from '../../solver/map/map.ts'
import type { Place } from '../../solver/map/trace.ts'
import type { Range } from '../../solver/model/model.ts'
import type { SearchProblem, SearchTarget } from '../../solver/search/problem.ts'
import { flyAll, isMet, marginOf } from '../support/brute-search.ts'
import { type PlainRow, plainProblem, randomProblem, sum, wish } from '../support/plain-problem.ts'
import { area, inside } from '../support/rings.ts'
import { rangeOf } from '../support/rocket-search.ts'

// Source: formulas put in at places of the map; areas and lengths of figures known by hand.

const roomiest = { sense: 'roomiest' } as const
const wide: readonly Range[] = [rangeOf(-2, 4, 0), rangeOf(10, 13, 0)]
/** The square of the distance from (1, 11.5), in ranges of 6 by 3, as shares of the second's. */
const circle: PlainRow = {
  of: ([x, y]) => [(x! / 2 - 0.5) ** 2 + (y! - 11.5) ** 2, x! / 2 - 0.5, 2 * (y! - 11.5)],
}

function mapOf(
  rows: readonly PlainRow[],
  targets: readonly SearchTarget[],
  request: Partial<MapRequest> = {},
  problem: Partial<SearchProblem> = {},
): TradeMap {
  const plain = plainProblem(wide, rows, targets, [roomiest])
  return traceMap({ ...plain, ...problem }, { across: 0, cells: 48, aims: 0, ...request })
}

describe('on bent surfaces the region is where all musts are met, the wanted part where the shoulds are too', () => {
  test.each([
    [0, true],
    [1, true],
    [0, false],
  ] as const)('lever %s across, slopes %s', (across, sloped) => {
    const CELLS = 24
    const counts = { in: 0, out: 0 }
    for (let seed = 1; seed <= 6; seed++) {
      const problem = randomProblem(seed, [0, 0])
      const map = traceMap(problem, { across, cells: CELLS, aims: 0, sloped })
      for (let i = 0; i < 21; i++)
        for (let j = 0; j < 21; j++) {
          const place: Place = [(i + 0.37) / 21.5, (j + 0.41) / 21.5]
          const x = across === 0 ? Float64Array.from(place) : Float64Array.of(place[1], place[0])
          const marginsAt = (di: number, dj: number): number[] => {
            const { rows } = problem.fly(Float64Array.of(x[0]! + di, x[1]! + dj), 'tight', false)
            return problem.targets.map(target => marginOf(problem, target, rows))
          }
          const margins = marginsAt(0, 0)
          // A tenth of a cell off a limit may fall to either side, half a cell where no slopes are told.
          const cell = (sloped ? 0.12 : 0.6) / CELLS
          const near = [
            [cell, 0],
            [-cell, 0],
            [0, cell],
            [0, -cell],
          ].some(([di, dj]) => marginsAt(di!, dj!).some((margin, t) => margin >= 0 !== margins[t]! >= 0))
          if (near) continue
          const kept = (levels: readonly string[]): boolean =>
            problem.targets.every((target, t) => !levels.includes(target.level) || margins[t]! >= 0)
          counts[kept(['must']) ? 'in' : 'out']++
          const told = [inside(map.region, place), inside(map.wanted, place)]
          expect([seed, place, ...told]).toEqual([seed, place, kept(['must']), kept(['must', 'should'])])
        }
      expect(map.flown).toBeLessThan((CELLS + 1) ** 2)
      expect(map.work).toBeGreaterThanOrEqual(map.flown)
    }
    expect(Math.min(counts.in, counts.out)).toBeGreaterThan(200)
  })
})

describe('a circle', () => {
  test('has its area, its line and few flights, whichever lever runs across', () => {
    for (const across of [0, 1] as const) {
      const { region, wanted, lines, flown, pad } = mapOf([circle], [wish(0, { high: 1 })], { across })
      expect(area(region)).toBeCloseTo(2 * Math.PI, 1)
      expect([wanted, pad]).toEqual([region, []])
      expect(lines.map(({ target, side }) => [target, side])).toEqual([[0, 1]])
      for (const place of lines[0]!.points)
        expect(circle.of(Float64Array.from(across === 0 ? place : [place[1], place[0]]))[0]).toBeCloseTo(1, 2)
      // A patch follows it: the corners and the middles of the coarse cells are enough.
      expect(flown).toBe(7 ** 2 + 6 ** 2)
    }
  })
  test('cut by the frame has a line that ends there, and a ring has two', () => {
    const { lines } = mapOf([circle], [wish(0, { high: 1.5 ** 2 + 0.25 })])
    for (const { points } of lines)
      for (const [x, y] of [points[0]!, points.at(-1)!])
        expect(Math.min(Math.abs(x + 2), Math.abs(x - 4), Math.abs(y - 10), Math.abs(y - 13))).toBeLessThan(1e-9)
    expect(lines).toHaveLength(4)
    const ring = mapOf([circle], [wish(0, { low: 0.25, high: 1 })])
    expect(area(ring.region)).toBeCloseTo(2 * Math.PI * 0.75, 1)
    expect(ring.lines.map(({ side }) => side)).toEqual([1, -1])
  })
  test('of an exact value has one line, and no part that is met', () => {
    const equal: SearchTarget = { ...wish(0, { low: 1, high: 1 }, 1), kind: 'equal to', level: 'should' }
    const { lines, region, wanted } = mapOf([circle], [equal])
    expect(lines.map(({ side }) => side)).toEqual([1])
    expect(area(region)).toBeCloseTo(18, 9)
    expect(area(wanted)).toBeLessThan(0.1)
  })
  test('met everywhere or nowhere fills the frame or nothing, and a could moves neither', () => {
    const all = mapOf([circle], [wish(0, { high: 9 })])
    expect([area(all.region), all.lines]).toEqual([18, []])
    expect(mapOf([circle], [wish(0, { high: -1 })])).toMatchObject({ region: [], wanted: [], lines: [] })
    expect(mapOf([circle], []).flown).toBe(7 ** 2)
    const could = mapOf([circle], [wish(0, { high: 1, level: 'could' })])
    expect([area(could.region), area(could.wanted), could.lines.length]).toEqual([18, 18, 1])
    const should = mapOf([circle], [wish(0, { high: 1, level: 'should' })])
    expect([area(should.region), area(should.wanted)]).toEqual([18, expect.closeTo(2 * Math.PI, 1)])
  })
})

test('a surface that bends sharply is flown closely where its limit runs, and there alone', () => {
  const step: PlainRow = { of: ([x]) => [Math.tanh(5 * (x! - 1.3)), 5 / Math.cosh(5 * (x! - 1.3)) ** 2, 0] }
  const { flown, lines } = mapOf([step], [wish(0, { high: 0.6 })])
  // To a fifth of a cell.
  for (const [x] of lines[0]!.points) expect(Math.abs(x - 1.3 - Math.atanh(0.6) / 5)).toBeLessThan(0.025)
  expect(flown).toBeGreaterThan(7 ** 2 + 6 ** 2)
  expect(flown).toBeLessThan(49 ** 2 / 5)
  expect(mapOf([step], [wish(0, { high: 9 })]).flown).toBeLessThan(200)
})

test('at most holds for all rows of a target, at least for any', () => {
  const rows: PlainRow[] = [{ of: sum(0, 1, 0) }, { of: sum(-10, 0, 1) }]
  // The larger of x (−2 … 4) and y − 10 (0 … 3).
  expect(area(mapOf(rows, [wish([0, 1], { high: 1 })]).region)).toBeCloseTo(3, 9)
  expect(area(mapOf(rows, [wish([0, 1], { low: 1 })]).region)).toBeCloseTo(18 - 3, 9)
})

test('where a row has no value its target is not met, and the edge is found', () => {
  const root: PlainRow = { of: ([x]) => [Math.sqrt(x! - 0.3), 0.5 / Math.sqrt(x! - 0.3), 0] }
  const { region } = mapOf([root], [wish(0, { high: 1 })])
  // From 0.3 to 1.3, the first end to a cell.
  expect(area(region) / 3).toBeGreaterThan(1 - 6 / 48)
  expect(area(region) / 3).toBeLessThan(1 + 6 / 48)
})

test('where a rocket stays on the pad is told to a cell', () => {
  const rows: PlainRow[] = [{ of: sum(0, 1, 0) }]
  const plain = plainProblem(wide, rows, [], [roomiest])
  const fly: SearchProblem['fly'] = (x, accuracy, slopes) => ({
    ...plain.fly(x, accuracy, slopes),
    lifts: x[0]! + x[1]! > 11.01,
  })
  const { pad } = mapOf(rows, [wish(0, { high: 2 })], {}, { fly })
  // A triangle of corners (−2, 10), (1.01, 10), (−1.99, 13).
  for (const [x, y] of [
    [-1.9, 10.1],
    [0.5, 10.1],
    [-1.9, 12.5],
    [1.5, 10.1],
    [3, 12],
    [0, 11.5],
  ] as const)
    expect([x, y, inside(pad, [x, y])]).toEqual([x, y, x + y < 11.01])
})

describe('the contours of the first aim', () => {
  const valuesOf = (row: PlainRow, aims: number): number[] => {
    const map = mapOf([row], [], { aims }, { aims: [{ sense: 'least', row: 0 }, roomiest] })
    for (const { value, points } of map.aim)
      for (const place of points) {
        const told = row.of(Float64Array.from(place))[0]
        expect(row.figure ? row.figure(told) : told).toBeCloseTo(value, 6)
      }
    return [...new Set(map.aim.map(({ value }) => value))]
  }
  test('stand at round values, about as many as asked for', () => {
    expect(valuesOf({ of: sum(0, 1, 0) }, 5)).toEqual([-1, 0, 1, 2, 3])
    expect(valuesOf({ of: sum(0, 1, 0) }, 2)).toEqual([0, 2])
    expect(valuesOf({ of: sum(0, 0, 100) }, 5)).toEqual([1050, 1100, 1150, 1200, 1250])
    expect(valuesOf({ of: sum(0, 0.01, 0) }, 9)).toEqual([-0.01, 0, 0.01, 0.02, 0.03])
    expect(valuesOf({ of: sum(0, 1, 0), figure: s => 10 * s }, 5)).toEqual([-10, 0, 10, 20, 30])
  })
  test('are none where none are asked for, or all is one value, or settings are roomiest', () => {
    expect(valuesOf({ of: sum(0, 1, 0) }, 0)).toEqual([])
    expect(valuesOf({ of: sum(7, 0, 0) }, 5)).toEqual([])
    expect(mapOf([circle], [], { aims: 5 }).aim).toEqual([])
  })
})

describe('the settings inside', () => {
  const told = (problem: SearchProblem, across: 0 | 1 = 0) => traceMap(problem, { across, cells: 24, aims: 0 }).settings
  test('are those that meet every must, on bent surfaces', () => {
    let some = 0
    for (let seed = 1; seed <= 7; seed++) {
      const problem = randomProblem(seed, [21, 17])
      const musts = problem.targets.filter(({ level }) => level === 'must')
      const met = flyAll(problem).filter(({ rows }) => musts.every(t => isMet(t, marginOf(problem, t, rows))))
      if (met.length > 0 && met.length < 300) some++
      expect(told(problem)).toEqual(met.map(({ x }) => [...x]))
      expect(told(problem, 1)).toEqual(met.map(({ x }) => [x[1], x[0]]))
    }
    expect(some).toBeGreaterThan(1)
  })
  test('are found for a figure that is the largest of two, at least and at most', () => {
    const levers = [rangeOf(0, 1, 10), rangeOf(0, 1, 10)]
    const rows: PlainRow[] = [{ of: sum(0, 1, 0) }, { of: sum(0, 0, 1) }]
    expect(told(plainProblem(levers, rows, [wish([0, 1], { high: 0.35 })]))).toHaveLength(16)
    expect(told(plainProblem(levers, rows, [wish([0, 1], { low: 0.35 })]))).toHaveLength(121 - 16)
  })
  test('are not listed where they are many, or a lever has no steps', () => {
    const rows: PlainRow[] = [{ of: sum(0, 1, 0) }]
    const of = (steps: number, high: number) =>
      told(plainProblem([rangeOf(0, 1, 24), rangeOf(0, 1, steps)], rows, [wish(0, { high })]))
    expect([of(19, 2).length, of(20, 2).length, of(0, 2).length]).toEqual([500, 0, 0])
  })
})
