import type { Row, Sample, SearchAim, SearchProblem } from '../../solver/search/problem.ts'
import { type BruteAnswer, bruteForce, flyAll } from './brute-search.ts'
import { casesOn, randomRig, rigProblem } from './rocket-problems.ts'
import { type Rig, targetOn } from './rocket-search.ts'
import { sequence } from './vehicles.ts'

/** What algebra is worth at shares of the levers' ranges, with its slopes by them: nothing of a jump shows in these. */
type Formula = (u: readonly number[]) => { readonly value: number; readonly slopes: readonly number[] }

/** A weighted sum of the levers' shares. */
function sloping(n: number, next: () => number): Formula {
  const by = Array.from({ length: n }, () => 2 * next() - 1)
  const from = 3 * next()
  return u => ({ value: by.reduce((sum, c, l) => sum + c * u[l]!, from), slopes: by })
}

/** As a table of some steps over one lever, rising, falling or neither. */
function stepped(n: number, next: () => number): Formula {
  const lever = Math.floor(n * next())
  const values = Array.from({ length: 3 + Math.floor(6 * next()) }, () => 2 * next())
  if (next() < 0.5) values.sort((a, b) => a - b)
  const flat = Array.from({ length: n }, () => 0)
  return u => ({ value: values[Math.min(values.length - 1, Math.floor(u[lever]! * values.length))]!, slopes: flat })
}

const plus = (a: Formula, b: Formula): Formula => {
  return u => {
    const [one, two] = [a(u), b(u)]
    return { value: one.value + two.value, slopes: one.slopes.map((slope, l) => slope + two.slopes[l]!) }
  }
}

const times = (a: Formula, b: Formula): Formula => {
  return u => {
    const [one, two] = [a(u), b(u)]
    return {
      value: one.value * two.value,
      slopes: one.slopes.map((slope, l) => slope * two.value + one.value * two.slopes[l]!),
    }
  }
}

/** One of two formulas, by which side of a limit a third is on. */
const chosen = (test: Formula, limit: number, yes: Formula, no: Formula): Formula => {
  return u => (test(u).value > limit ? yes(u) : no(u))
}

/** Pieces, as their largest or smallest. */
const extreme = (sign: number, a: Formula, b: Formula): Formula => {
  return u => {
    const [one, two] = [a(u), b(u)]
    return sign * (one.value - two.value) > 0 ? one : two
  }
}

/** Counted up in whole units, each of a price; one that counts many has each for less. */
function counted(of: Formula, unit: number, many: number, less: number): Formula {
  return u => {
    const { value, slopes } = of(u)
    const count = Math.ceil(value / unit)
    return { value: count * (count >= many ? less : 1), slopes: slopes.map(() => 0) }
  }
}

const KINDS = ['counted', 'stepped', 'chosen', 'pieces', 'both', 'discount', 'priced'] as const

/** A formula of the kinds that sheets write for prices and counts. */
function invented(n: number, next: () => number): Formula {
  const line = (): Formula => sloping(n, next)
  switch (KINDS[Math.floor(KINDS.length * next())]!) {
    case 'counted':
      return counted(line(), 0.05 + 0.2 * next(), Number.POSITIVE_INFINITY, 1)
    case 'discount':
      return plus(counted(line(), 0.05 + 0.2 * next(), 6 + Math.floor(10 * next()), 0.6 + 0.3 * next()), line())
    case 'stepped':
      return plus(stepped(n, next), line())
    case 'chosen': {
      const test = line()
      return chosen(test, test(Array.from({ length: n }, () => next())).value, line(), line())
    }
    case 'pieces':
      return extreme(1, line(), extreme(-1, line(), line()))
    case 'priced':
      return times(stepped(n, next), counted(line(), 0.02 + 0.1 * next(), 8, 0.7))
    case 'both':
      return plus(stepped(n, next), stepped(n, next))
  }
}

/** The rig with one exact row more: algebra that jumps. */
function withFormula(rig: Rig, formula: Formula): Rig {
  const { ranges } = rig
  const n = ranges.length
  const added = (x: Float64Array, sample: Sample): Sample => {
    const { value, slopes } = formula(ranges.map(({ from, to }, l) => (x[l]! - from) / (to - from)))
    const own = slopes.map((slope, l) => slope / (ranges[l]!.to - ranges[l]!.from))
    return {
      ...sample,
      rows: Float64Array.of(...sample.rows, value),
      slopes: Float64Array.of(...sample.slopes.subarray(0, rig.rows.length * n), ...own),
    }
  }
  const row: Row = { exact: true, figure: null, reach: ranges.map(() => true), uneven: true }
  return {
    ...rig,
    rows: [...rig.rows, row],
    algebra: x => added(x, rig.algebra(x)),
    fly: (x, accuracy, slopes) => added(x, rig.fly(x, accuracy, slopes)),
  }
}

interface JumpingCase {
  readonly name: string
  readonly problem: SearchProblem
  readonly truth: BruteAnswer
}

/** Sheets on an invented rocket whose aim is such algebra, each with what brute force over every setting says. */
export function jumpingAims(seed: number, steps: readonly number[], wanted: readonly number[]): readonly JumpingCase[] {
  const next = sequence(seed + 300)
  const rig = withFormula(randomRig(seed, steps), invented(steps.length, next))
  const all = flyAll(rigProblem(rig))
  const aims: readonly SearchAim[] = [
    { sense: next() < 0.7 ? 'least' : 'most', row: rig.rows.length - 1 },
    { sense: 'roomiest' },
  ]
  return casesOn(rig, seed, wanted, all).map(({ name, problem }) => {
    const asked = { ...problem, aims }
    return { name, problem: asked, truth: bruteForce(asked, all) }
  })
}

/** The same with such algebra in a must or a should, whose limit it has at some setting; the aim is another. */
export function jumpingTargets(
  seed: number,
  steps: readonly number[],
  wanted: readonly number[],
): readonly JumpingCase[] {
  const next = sequence(seed + 400)
  const rig = withFormula(randomRig(seed, steps), invented(steps.length, next))
  const row = rig.rows.length - 1
  const all = flyAll(rigProblem(rig))
  return casesOn(rig, seed, wanted, all).map(({ name, problem }) => {
    const high = all[Math.floor(next() * all.length)]!.rows[row]!
    const target = targetOn(rig, next() < 0.6 ? 'must' : 'should', 'at most', row, { high })
    const asked = { ...problem, targets: [...problem.targets, target] }
    return { name, problem: asked, truth: bruteForce(asked, all) }
  })
}
