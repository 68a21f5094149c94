import { AT_LEAST, AT_MOST, EQUAL, EQUAL_WITHIN, type FrameTarget, MUST, WITHIN } from '../search/frame.ts'
import { allowance, marginOf } from '../search/margin.ts'
import type { Sample, SearchProblem, SearchTarget } from '../search/problem.ts'

const KINDS = {
  'at least': AT_LEAST,
  'at most': AT_MOST,
  within: WITHIN,
  'equal to': EQUAL,
  'equal within': EQUAL_WITHIN,
}

/** A target's figure in a sample: the largest of its rows. NaN where one has no value. */
export function figureIn(problem: SearchProblem, target: SearchTarget, sample: Sample): number {
  let most = Number.NEGATIVE_INFINITY
  for (const row of target.rows) {
    const value = sample.rows[row]!
    const { figure, least } = problem.rows[row]!
    const of = Math.max(figure ? figure(value) : value, least ?? Number.NEGATIVE_INFINITY)
    if (!(of <= most)) most = Number.isNaN(most) ? most : of
  }
  return most
}

/** The margin of a target whose figure lies at `value`, give or take `error` (of the margin): at its best. NaN where it has no value. */
export function marginIn(target: SearchTarget, value: number): number {
  const { kind, low, high, scale } = target
  const framed: FrameTarget = { level: MUST, kind: KINDS[kind], rows: [], low, high, scale }
  return marginOf(framed, value, value)
}

/** How far below zero the margin of a target that is met may lie. */
export function allowanceOf(target: SearchTarget): number {
  return allowance(KINDS[target.kind])
}

/** What an error that is a share of the limit itself is in units of the margin. */
export function errorUnits(target: SearchTarget, share: number): number {
  const limits = [target.low, target.high].filter(Number.isFinite).map(Math.abs)
  return (share * Math.max(...limits, target.scale)) / target.scale
}
