import { figureIn, marginIn } from '../conflict/judged.ts'
import type { Range } from '../model/model.ts'
import type { Sample, SearchProblem, SearchTarget } from '../search/problem.ts'
import { search } from '../search/search.ts'

/** Values beyond these say no more: a margin of a whole limit. */
const FAR = 1

/**
 * The problem of a map whose other levers are solved anew at each place: two rows, the largest smallest margin of the musts and that of
 * musts and shoulds, both met from zero on. `inner` gives the problem of the other levers with the two at these values.
 */
export function othersSolved(
  axes: readonly [Range, Range],
  inner: (a: number, b: number) => SearchProblem,
): SearchProblem {
  const row = { exact: false, figure: null }
  const target = (level: SearchTarget['level'], at: number): SearchTarget => ({
    level,
    kind: 'at least',
    rows: [at],
    low: 0,
    high: Number.POSITIVE_INFINITY,
    rowLow: 0,
    rowHigh: Number.POSITIVE_INFINITY,
    scale: 1,
  })
  const fly = (x: Float64Array): Sample => {
    const problem = inner(x[0]!, x[1]!)
    const musts = best(problem, ['must'])
    const all = problem.targets.some(each => each.level === 'should') ? best(problem, ['must', 'should']) : musts
    return {
      rows: Float64Array.of(musts.margin, all.margin),
      slopes: new Float64Array(4),
      lifts: true,
      work: musts.work + all.work,
    }
  }
  return {
    levers: axes,
    low: Float64Array.from(axes, range => range.from),
    high: Float64Array.from(axes, range => range.to),
    rows: [row, row],
    targets: [target('must', 0), target('should', 1)],
    aims: [],
    algebra: () => ({ rows: new Float64Array(2).fill(Number.NaN), slopes: new Float64Array(4), lifts: true, work: 0 }),
    fly,
  }
}

/** The largest smallest margin of the targets of some levels. */
function best(problem: SearchProblem, levels: readonly SearchTarget['level'][]): { margin: number; work: number } {
  const targets = problem.targets
    .filter(each => levels.includes(each.level))
    .map(each => ({ ...each, level: 'must' as const }))
  if (targets.length === 0) return { margin: FAR, work: 0 }
  const { x, flights } = search({ ...problem, targets, aims: [{ sense: 'roomiest' }] })
  if (!x) return { margin: -FAR, work: flights }
  const sample = problem.fly(x, 'tight', false)
  const margins = targets.map(target => marginIn(target, figureIn(problem, target, sample)))
  const least = Math.min(...margins.map(margin => (Number.isNaN(margin) ? -FAR : margin)))
  return { margin: Math.max(-FAR, Math.min(FAR, least)), work: flights + sample.work }
}
