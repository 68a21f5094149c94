import { describe, expect, test } from 'vitest'
import { frameOf } from '../../solver/search/frame.ts'
import { leversOf } from '../../solver/search/levers.ts'
import type { SearchAim, SearchProblem, SearchTarget } from '../../solver/search/problem.ts'
import { Run, VIOLATION, WHOLE } from '../../solver/search/run.ts'
import { TIGHT } from '../../solver/search/samples.ts'
import { type Flown, flyAll, marginOf, shortfall } from '../support/brute-search.ts'
import { type PlainRow, plainProblem, sum, wish } from '../support/plain-problem.ts'
import { rangeOf } from '../support/rocket-search.ts'
import { sequence } from '../support/vehicles.ts'

// Where rows are straight the chain of linear programs is exact: from wherever it begins it must land on the best of all places, level by level.
// Source: a fine lattice, none of whose places may be better.

/** Straight rows with targets of every kind, some on the same row, some over the largest of two. */
function straight(seed: number, n: number): SearchProblem {
  const next = sequence(seed)
  const number = (): number => Math.round(20 * (next() - 0.5)) / 10
  const rows: PlainRow[] = Array.from({ length: 4 }, () => ({
    exact: true,
    of: sum(number(), ...Array.from({ length: n }, () => number() || 0.3)),
  }))
  const levels = ['must', 'must', 'should', 'could'] as const
  const targets = Array.from({ length: 3 + Math.floor(4 * next()) }, (): SearchTarget => {
    const row = Math.floor(4 * next())
    const of = next() < 0.2 ? [row, (row + 1) % 4] : [row]
    const anchor = Float64Array.from({ length: n }, next)
    const value = Math.max(...of.map(each => rows[each]!.of(anchor)[0]))
    const level = levels[Math.floor(4 * next())]!
    const kind = next()
    const [low, high] = [value - 0.05 - 0.1 * next(), value + 0.05 + 0.1 * next()]
    if (of.length > 1 || kind < 0.3) return wish(of, { level, high: value })
    if (kind < 0.55) return wish(of, { level, low: value })
    if (kind < 0.8) return wish(of, { level, low, high })
    return { ...wish(of, { level, low, high }), kind: 'equal within' }
  })
  const aims: SearchAim[] = [
    { sense: next() < 0.5 ? 'least' : 'most', row: Math.floor(4 * next()) },
    { sense: 'roomiest' },
  ]
  return plainProblem(
    Array.from({ length: n }, () => rangeOf(0, 1, 0)),
    rows,
    targets,
    aims,
  )
}

const violation = (problem: SearchProblem, { rows }: Pick<Flown, 'rows'>): number =>
  Math.max(
    0,
    ...problem.targets.filter(({ level }) => level === 'must').map(target => -marginOf(problem, target, rows)),
  )

/** What a place is worth, level by level, the less the better. */
function worth(problem: SearchProblem, flown: Pick<Flown, 'rows'>): number[] {
  const aim = problem.aims[0]!
  return [
    violation(problem, flown),
    shortfall(problem, 'should', flown.rows),
    shortfall(problem, 'could', flown.rows),
    aim.sense === 'roomiest' ? 0 : (aim.sense === 'least' ? 1 : -1) * flown.rows[aim.row]!,
  ]
}

function chained(problem: SearchProblem, from: Float64Array, options = WHOLE) {
  const { levers, low, high } = problem
  const run = new Run(
    frameOf(problem, leversOf(levers, low, high), [problem.fly(from, 'tight', true)]),
    Number.POSITIVE_INFINITY,
    null,
  )
  const { samples, chain, frame } = run
  const at = run.fly(from, TIGHT)
  const done = chain.run(
    run.bounds,
    from,
    samples.y,
    at * frame.rows,
    samples.slope,
    at * frame.rows * levers.length,
    from,
    1,
    options,
  )
  expect(done).toBe(true)
  return { chain, lands: from.map((share, l) => share + chain.step[l]!) }
}

/** A square is followed by tangents, to a thousandth. */
const CLOSE = [1e-7, 2e-3, 2e-3, 1e-6]

describe.each([
  [1, 100, 40],
  [2, 20, 70],
  [3, 8, 30],
])('straight rows over %i levers', (n, fineness, count) => {
  test('lead the chain to a place that none is better than, and what it promises is so there', () => {
    const levels = { violation: 0, should: 0, could: 0 }
    for (let seed = 1; seed <= count; seed++) {
      const problem = straight(seed, n)
      const from = Float64Array.from({ length: n }, sequence(seed + 77))
      const { chain, lands } = chained(problem, from)
      for (const share of lands) expect(share >= -1e-9 && share <= 1 + 1e-9).toBe(true)
      const own = worth(problem, problem.fly(lands, 'tight', false))
      const promised = [chain.violation, chain.should, chain.could]
      promised.forEach((value, k) => {
        expect(Math.abs(value - own[k]!), `${seed}, level ${k}: ${value} for ${own[k]}`).toBeLessThan(
          CLOSE[k]! * Math.max(1, own[k]!),
        )
      })
      if (own[0]! > 1e-6) levels.violation++
      if (own[1]! > 1e-6) levels.should++
      if (own[2]! > 1e-6) levels.could++
      for (const flown of flyAll({ ...problem, levers: problem.levers.map(() => rangeOf(0, 1, fineness)) })) {
        const other = worth(problem, flown)
        for (let k = 0; k < own.length; k++) {
          const slack = CLOSE[k]! * Math.max(1, Math.abs(own[k]!))
          if (other[k]! < own[k]! - slack)
            expect(`${seed}, level ${k}: ${other[k]} at ${flown.x}`).toBe(`at least ${own[k]} at ${lands}`)
          // Only where nothing decides so far the next level counts.
          if (Math.abs(other[k]! - own[k]!) > 1e-9) break
        }
      }
    }
    expect(Math.min(levels.violation, levels.should, levels.could)).toBeGreaterThan(0)
  })

  test('have the least violation where only that is asked', () => {
    for (let seed = 1; seed <= count / 2; seed++) {
      const random = straight(seed, n)
      const problem = { ...random, targets: random.targets.map((each): SearchTarget => ({ ...each, level: 'must' })) }
      const from = new Float64Array(n).fill(0.4)
      const { chain, lands } = chained(problem, from, VIOLATION)
      const own = violation(problem, problem.fly(lands, 'tight', false))
      expect(Math.abs(chain.violation - own)).toBeLessThan(1e-7)
      for (const flown of flyAll({ ...problem, levers: problem.levers.map(() => rangeOf(0, 1, fineness)) }))
        expect(violation(problem, flown)).toBeGreaterThan(own - 1e-7)
    }
  })
})

test('a chain stays within its radius and its box', () => {
  const problem = plainProblem(
    [rangeOf(0, 1, 0), rangeOf(0, 1, 0)],
    [{ exact: true, of: sum(0, 1, 1) }],
    [],
    [{ sense: 'most', row: 0 }, { sense: 'roomiest' }],
  )
  const { levers, low, high } = problem
  const from = Float64Array.of(0.5, 0.5)
  const run = new Run(
    frameOf(problem, leversOf(levers, low, high), [problem.fly(from, 'tight', true)]),
    Number.POSITIVE_INFINITY,
    null,
  )
  const at = run.fly(from, TIGHT)
  const { chain, samples, frame } = run
  const step = (center: Float64Array, radius: number, own = radius): number[] => {
    chain.run(
      run.bounds,
      from,
      samples.y,
      at * frame.rows,
      samples.slope,
      at * frame.rows * 2,
      center,
      radius,
      WHOLE,
      own,
    )
    return [...chain.step].map(each => Math.round(each * 1e6) / 1e6)
  }
  expect(step(from, 0.2)).toEqual([0.2, 0.2])
  expect(step(from, 2)).toEqual([0.5, 0.5])
  expect(step(Float64Array.of(0.3, 0.6), 0.3)).toEqual([0.1, 0.3])
  expect(step(from, 0.4, 0.1)).toEqual([0.1, 0.1])
  chain.high[1] = 0.55
  expect(step(from, 0.2)).toEqual([0.2, 0.05])
})
