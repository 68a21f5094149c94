import { allowanceOf, figureIn, marginIn } from '../conflict/judged.ts'
import { figureSlope } from '../search/frame.ts'
import type { Flown, Sample, SearchProblem, SearchTarget } from '../search/problem.ts'
import { search } from '../search/search.ts'
import { recorded, sloped } from './flown.ts'
import { leastTogether, multipliers } from './multipliers.ts'

/** Slack below this, in units of the margin or of a lever's range, is none: settings are rounded to nine digits. */
const TOUCHING = 2e-6

/** What moving the limits would be worth: by target, NaN where another level decides. */
export interface Prices {
  /** What the first aim gains for each SI unit that the limit is moved out; for a band the end that is touched. */
  readonly gain: Float64Array
  /** Which end is touched: −1 the lower, 1 the upper, 0 none. */
  readonly side: Int8Array
  /** Flights' worth of work. */
  readonly work: number
}

/**
 * The prices of the limits of a problem without steps (`lifted`, all its levels in it) near settings that solve it with them.
 * `flown`: flights of the same rows and levers that were made before. At the optimum the gradient of the aim is balanced by those of the limits it touches; their multipliers are the prices.
 */
export function pricesOf(lifted: SearchProblem, start: Float64Array, flown: readonly Flown[] = []): Prices {
  const none = {
    gain: new Float64Array(lifted.targets.length).fill(Number.NaN),
    side: new Int8Array(lifted.targets.length),
  }
  const own = recorded(lifted)
  const found = search(own.problem, { start, local: true, known: sloped(flown) })
  if (found.outcome !== 'solved' || !found.x) return { ...none, work: found.flights }
  const x = found.x
  // The search has mostly flown its answer just so.
  const last = sloped(own.flown).find(each => each.accuracy === 'tight' && each.x.every((value, l) => value === x[l]))
  const sample = last?.sample ?? lifted.fly(x, 'tight', true)
  const work = found.flights + (last ? 0 : sample.work)
  if (lifted.targets.some(target => !isMet(lifted, target, sample))) return { ...none, work }
  const first = lifted.aims[0]!
  const { columns, touched } = touching(lifted, sample, x, first.sense === 'roomiest')
  const goal = first.sense === 'roomiest' ? roomGoal(columns, touched) : aimGoal(lifted, sample, first)
  if (!goal || columns.length === 0) return { ...none, work }
  const { of, balanced } = multipliers(columns, goal)
  if (!balanced) return { ...none, work }
  const gain = new Float64Array(lifted.targets.length)
  const side = new Int8Array(lifted.targets.length)
  lifted.targets.forEach((target, t) => {
    const group = [...touched.keys()].filter(j => touched[j]?.target === t)
    const bound = touched[group.at(-1) ?? -1]
    if (!bound) return
    const margin = marginIn(target, figureIn(lifted, target, sample))
    // In the middle of a band there is all the room that it has, however wide it is.
    const middle = target.kind === 'within' && group.some(j => touched[j]!.side !== bound.side)
    gain[t] = middle ? 0 : leastTogether(columns, goal, of, group) * roomOf(target, bound.side, margin)
    side[t] = bound.side
  })
  return { gain, side, work }
}

/** What a margin gains for each SI unit that the limit is moved out: margins count in limits, and those grow and shrink with it. */
function roomOf({ kind, low, high, scale }: SearchTarget, side: -1 | 1, margin: number): number {
  if (kind === 'within') return (1 - margin / 2) / scale
  if (kind === 'equal within') return (1 - margin) / scale
  const limit = side < 0 ? low : high
  return (1 - side * Math.sign(limit) * margin) / scale
}

function isMet(problem: SearchProblem, target: SearchTarget, sample: Sample): boolean {
  return marginIn(target, figureIn(problem, target, sample)) >= -allowanceOf(target)
}

interface Touched {
  readonly target: number
  readonly side: -1 | 1
}

/** Gradients, by shares of the levers' ranges, of what is touched: limits in units of their margins (null beside the ends of ranges). */
function touching(
  problem: SearchProblem,
  sample: Sample,
  x: Float64Array,
  roomiest: boolean,
): { columns: Float64Array[]; touched: (Touched | null)[] } {
  const columns: Float64Array[] = []
  const touched: (Touched | null)[] = []
  const margins = problem.targets.map(target => marginIn(target, figureIn(problem, target, sample)))
  // The roomiest settings touch whatever has the smallest margin.
  const least = roomiest ? Math.min(...margins.filter((_, t) => problem.targets[t]!.level !== 'could')) : 0
  for (const [t, target] of problem.targets.entries()) {
    for (const row of target.rows) {
      const { value, slopes } = rowAt(problem, sample, row)
      for (const side of [-1, 1] as const) {
        const limit = side < 0 ? target.low : target.high
        const slack = (side * (limit - value)) / target.scale
        if (!Number.isFinite(slack) || Math.abs(slack - least) > TOUCHING * Math.max(1, Math.abs(least))) continue
        columns.push(slopes.map(slope => (side * slope) / target.scale))
        touched.push({ target: t, side })
      }
    }
  }
  problem.levers.forEach(({ from, to }, l) => {
    for (const [end, side] of [
      [from, -1],
      [to, 1],
    ] as const) {
      if (Math.abs(x[l]! - end) > TOUCHING * (to - from)) continue
      columns.push(Float64Array.from(x, (_, k) => (k === l ? side : 0)))
      touched.push(null)
    }
  })
  return { columns, touched }
}

/** A row's figure with its gradient by shares of the levers' ranges. */
function rowAt(problem: SearchProblem, sample: Sample, row: number): { value: number; slopes: Float64Array } {
  const { figure } = problem.rows[row]!
  const s = sample.rows[row]!
  const by = figureSlope(figure, s)
  const n = problem.levers.length
  return {
    value: figure ? figure(s) : s,
    slopes: Float64Array.from(problem.levers, ({ from, to }, l) => by * sample.slopes[row * n + l]! * (to - from)),
  }
}

/** What the limits have to balance: the way in which the aim would improve. */
function aimGoal(
  problem: SearchProblem,
  sample: Sample,
  aim: Exclude<SearchProblem['aims'][number], { sense: 'roomiest' }>,
): Float64Array | null {
  const { slopes } = rowAt(problem, sample, aim.row)
  const goal = slopes.map(slope => (aim.sense === 'least' ? -slope : slope))
  return goal.every(Number.isFinite) && goal.some(slope => slope !== 0) ? goal : null
}

/** For the smallest margin the limits balance one another: their shares add up to one. */
function roomGoal(columns: Float64Array[], touched: readonly (Touched | null)[]): Float64Array | null {
  const n = columns[0]?.length ?? 0
  columns.forEach((column, j) => {
    columns[j] = Float64Array.of(...column, touched[j] === null ? 0 : 1)
  })
  const goal = new Float64Array(n + 1)
  goal[n] = 1
  return columns.length > 0 ? goal : null
}
