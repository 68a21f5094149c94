import type { Sample, SearchProblem, SearchTarget } from '../../solver/search/problem.ts'
import { ROW } from './rocket-search.ts'

/** Flown rows that a ripple is made of. */
const RIPPLED = [ROW.energy, ROW.peakG[0], ROW.maxQ[0], ROW.burnoutSpeed, ROW.dragLoss, ROW.apoapsisTime]

/**
 * The problem with one row more, a sine of a flown row, and a target `at least` on it: what meets it lies on islands, up to some six
 * of them across the ranges, each with a best place of its own. Null where the row does not tell the middle of the ranges from their end.
 */
export function onIslands(problem: SearchProblem, next: () => number): SearchProblem | null {
  const row = RIPPLED[Math.floor(next() * RIPPLED.length)]!
  const { levers } = problem
  const at = (share: number): number =>
    problem.fly(
      Float64Array.from(levers, ({ from, to }) => from + share * (to - from)),
      'tight',
      false,
    ).rows[row]!
  const span = Math.abs(at(1) - at(0.5))
  if (!(span > 0 && Number.isFinite(span))) return null
  const pace = (Math.PI * (1 + 5 * next())) / span
  const phase = 2 * Math.PI * next()
  const low = 1.7 * next() - 0.8
  const ripple: SearchTarget = {
    level: next() < 0.7 ? 'must' : 'should',
    kind: 'at least',
    rows: [problem.rows.length],
    low,
    high: Number.POSITIVE_INFINITY,
    rowLow: low,
    rowHigh: Number.POSITIVE_INFINITY,
    scale: Math.max(0.1, Math.abs(low)),
  }
  /** A sample with the ripple of its row, and its slopes by the chain rule. */
  const rippled = (sample: Sample): Sample => {
    const angle = pace * sample.rows[row]! + phase
    const from = row * levers.length
    const slopes = sample.slopes.subarray(from, from + levers.length).map(slope => pace * Math.cos(angle) * slope)
    return {
      ...sample,
      rows: Float64Array.of(...sample.rows, Math.sin(angle)),
      slopes: Float64Array.of(...sample.slopes, ...slopes),
    }
  }
  return {
    ...problem,
    rows: [...problem.rows, { exact: false, figure: null }],
    targets: [...problem.targets, ripple],
    algebra: x => rippled(problem.algebra(x)),
    fly: (x, accuracy, slopes) => rippled(problem.fly(x, accuracy, slopes)),
  }
}
