import { expect, test } from 'vitest'
import type { SearchProblem } from '../../solver/search/problem.ts'
import { search } from '../../solver/search/search.ts'
import { bruteForce, flyAll, isMet, marginOf, shortfall } from '../support/brute-search.ts'
import { randomProblem } from '../support/plain-problem.ts'
import { rangeOf } from '../support/rocket-search.ts'

/** Values that a lever without steps is given by brute force. */
const FINE = 500

/** What the levels come to, smaller the better: the largest violation, shoulds, coulds, aims, the smallest margin. */
function levelsOf(problem: SearchProblem, rows: Float64Array): number[] {
  const { targets, aims } = problem
  const margins = targets.map(target => marginOf(problem, target, rows))
  const short = targets.map((target, t) => (target.level === 'must' && !isMet(target, margins[t]!) ? -margins[t]! : 0))
  const counted = margins.filter((_, t) => targets[t]!.level !== 'could')
  return [
    Math.max(...short),
    shortfall(problem, 'should', rows),
    shortfall(problem, 'could', rows),
    ...aims.map(aim => {
      if (aim.sense === 'roomiest') return -Math.min(...counted)
      return (aim.sense === 'least' ? 1 : -1) * rows[aim.row]!
    }),
  ]
}

/** The first level at which one is worse than the other by more than what is left to rounding, −1 where the levels before it are better or it nowhere is. */
function worseAt(one: readonly number[], other: readonly number[]): number {
  for (const [level, value] of one.entries()) {
    const size = Math.max(1, Math.abs(other[level]!))
    if (value > other[level]! + 2e-5 * size) return level
    if (value < other[level]! - 1e-9 * size) return -1
  }
  return -1
}

/** The problem with all its targets as musts, ceilings lowered so that they often cannot be met together. */
function asMusts(problem: SearchProblem): SearchProblem {
  const targets = problem.targets.map(target => {
    if (target.kind !== 'at most') return { ...target, level: 'must' as const }
    const high = target.high - 0.3
    return { ...target, level: 'must' as const, high, rowHigh: high, scale: Math.abs(high) || 1 }
  })
  return { ...problem, targets }
}

test.each([
  { what: 'settings are', seeds: [50, 51, 52, 53, 75, 76], pose: (problem: SearchProblem) => problem },
  { what: 'the closest compromise is', seeds: [28, 29, 30, 31, 234, 235, 236], pose: asMusts },
])(
  'with a lever in steps and one without, $what no worse than at any of $seeds.length sheets’ finer settings',
  ({ seeds, pose }) => {
    const worse: string[] = []
    let tried = 0
    for (const seed of seeds)
      for (const steps of [
        [0, 12],
        [20, 0],
      ]) {
        const made = randomProblem(seed, steps)
        if (made.rows.some(row => row.figure)) continue
        const problem = pose(made)
        const fine = { ...problem, levers: steps.map(count => rangeOf(0, 1, count || FINE)) }
        const truth = bruteForce(fine, flyAll(fine))
        const found = search(problem)
        tried++
        const level = worseAt(
          levelsOf(problem, problem.fly(found.x!, 'tight', false).rows),
          levelsOf(problem, truth.flown.rows),
        )
        if (level >= 0) worse.push(`seed ${seed}, steps ${steps}: level ${level}`)
      }
    expect(worse).toEqual([])
    expect(tried).toBeGreaterThan(5)
  },
)
