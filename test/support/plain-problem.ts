import type { Range } from '../../solver/model/model.ts'
import type { Row, Sample, SearchAim, SearchProblem, SearchTarget } from '../../solver/search/problem.ts'
import { rangeOf } from './rocket-search.ts'
import { sequence } from './vehicles.ts'

/** A row as a formula: its value and its slopes by each lever. */
export interface PlainRow extends Partial<Row> {
  readonly of: (x: Float64Array) => readonly [value: number, ...slopes: number[]]
}

/** A search problem of plain formulas. Rows that are not `exact` are told by a flight only, which costs nothing; `log` is told of them. */
export function plainProblem(
  levers: readonly Range[],
  rows: readonly PlainRow[],
  targets: readonly SearchTarget[],
  aims: readonly SearchAim[] = [],
  log: string[] | null = null,
): SearchProblem {
  const n = levers.length
  const sampled = (x: Float64Array, flown: boolean, work: number): Sample => {
    const all = rows.map(row => (flown || row.exact ? row.of(x) : [Number.NaN]))
    const slopes = Float64Array.from({ length: rows.length * n }, (_, k) => all[Math.floor(k / n)]![1 + (k % n)] ?? 0)
    return { rows: Float64Array.from(all, ([value]) => value!), slopes, lifts: true, work }
  }
  const reaches = rows.map(({ of, reach = reachOf(levers, of) }) => reach)
  return {
    levers,
    low: Float64Array.from(levers, range => range.from),
    high: Float64Array.from(levers, range => range.to),
    rows: rows.map(({ exact = false, figure = null, least }, r) => ({
      exact,
      figure,
      reach: reaches[r]!,
      ...(least === undefined ? {} : { least }),
    })),
    targets: targets.map(target => ({
      ...target,
      reach: levers.map((_, l) => target.rows.some(row => reaches[row]![l])),
    })),
    aims,
    algebra: x => sampled(x, false, 0),
    fly: (x, accuracy, slopes) => {
      log?.push(`${accuracy} ${[...x].join(' ')}`)
      return sampled(x, true, slopes ? 1 + 0.45 * n : 1)
    },
  }
}

/** The levers by which a formula slopes somewhere; where it jumps by one as well, it is for its row to say. */
function reachOf(levers: readonly Range[], of: PlainRow['of']): readonly boolean[] {
  const slopes = [0.21, 0.5, 0.83].map(share =>
    of(Float64Array.from(levers, ({ from, to }) => from + share * (to - from))),
  )
  return levers.map((_, l) => slopes.some(all => all[1 + l] !== 0))
}

/** A sum of the levers, weighted, after a constant. */
export const sum = (offset: number, ...by: number[]): PlainRow['of'] => {
  return x => [by.reduce((total, c, l) => total + c * x[l]!, offset), ...by]
}

type Ends = { readonly low?: number; readonly high?: number; readonly level?: SearchTarget['level'] }

/** A target over one row, or over the largest of several, whose margin counts in `scale` (the limit's own size unless given). */
export function wish(row: number | readonly number[], ends: Ends, scale = Number.NaN): SearchTarget {
  const { low = Number.NEGATIVE_INFINITY, high = Number.POSITIVE_INFINITY, level = 'must' } = ends
  const band = Number.isFinite(low) && Number.isFinite(high)
  const size = band ? (high - low) / 2 : Math.abs(Number.isFinite(low) ? low : high)
  return {
    level,
    kind: band ? 'within' : Number.isFinite(low) ? 'at least' : 'at most',
    rows: typeof row === 'number' ? [row] : row,
    low,
    high,
    rowLow: low,
    rowHigh: high,
    scale: Number.isNaN(scale) ? size || 1 : scale,
  }
}

/** A bent surface over two or more levers: a constant, a slope and a bend for each, and a twist for each pair. */
function surface(n: number, next: () => number): PlainRow['of'] {
  const number = (): number => 2 * next() - 1
  const slope = Array.from({ length: n }, number)
  const twist = Array.from({ length: n }, () => Array.from({ length: n }, () => 0.6 * number()))
  return x => {
    let value = 1
    const slopes = slope.slice()
    for (let i = 0; i < n; i++) {
      value += slope[i]! * x[i]!
      for (let j = 0; j < n; j++) {
        value += twist[i]![j]! * x[i]! * x[j]!
        slopes[i]! += twist[i]![j]! * x[j]!
        slopes[j]! += twist[i]![j]! * x[i]!
      }
    }
    return [value, ...slopes]
  }
}

/** A figure that rises with its row, and the row for it. */
const CUBE = { of: (s: number) => 10 * s ** 3, back: (figure: number) => Math.cbrt(figure / 10) }

/** A target on a row as one on the figure it stands for. */
function cubed(target: SearchTarget): SearchTarget {
  const [low, high] = [CUBE.of(target.low), CUBE.of(target.high)]
  const scale =
    Number.isFinite(low) && Number.isFinite(high) ? (high - low) / 2 : Math.abs(Number.isFinite(low) ? low : high)
  return { ...target, low, high, rowLow: CUBE.back(low), rowHigh: CUBE.back(high), scale: scale || 1 }
}

/** An invented problem of bent surfaces over levers from 0 to 1 (with `steps`, 0 for none), some known by a flight only; the same for the same seed. */
export function randomProblem(seed: number, steps: readonly number[]): SearchProblem {
  const next = sequence(seed)
  const n = steps.length
  const rows: PlainRow[] = Array.from({ length: 5 }, () => ({ exact: next() < 0.4, of: surface(n, next) }))
  // What is aimed at may be algebra of one lever alone, as a mass is.
  if (next() < 0.4) rows[4] = { exact: true, of: sum(1, ...steps.map((_, l) => (l === seed % n ? 1 : 0))) }
  // A row may stand for a figure that bends.
  if (next() < 0.3) rows[0] = { ...rows[0]!, figure: CUBE.of }
  const anchor = Float64Array.from(steps, count => (count > 0 ? Math.round(next() * count) / count : next()))
  const levels = ['must', 'must', 'should', 'could'] as const
  const targets = Array.from({ length: 2 + Math.floor(2 * next()) }, (_, t): SearchTarget => {
    const row = t > 0 && next() < 0.2 ? t - 1 : t
    const of = row > 0 && next() < 0.15 ? [row, row + 1] : [row]
    const value = Math.max(...of.map(each => rows[each]!.of(anchor)[0]))
    const room = 0.2 * (next() - 0.4)
    const level = levels[Math.floor(4 * next())]!
    const kind = next()
    const low = value - 0.2 * next()
    const ends =
      kind < 0.35
        ? { high: value + room }
        : kind < 0.7
          ? { low: value - room }
          : { low, high: low + 0.02 + 0.3 * next() }
    const target = wish(of, { level, ...ends })
    const asked: SearchTarget = kind < 0.85 ? target : { ...target, kind: 'equal within' }
    return rows[row]!.figure ? cubed(asked) : asked
  })
  const sense = next() < 0.5 ? 'least' : 'most'
  const aims: SearchAim[] = next() < 0.8 ? [{ sense, row: 4 }, { sense: 'roomiest' }] : [{ sense: 'roomiest' }]
  return plainProblem(
    steps.map(count => rangeOf(0, 1, count)),
    rows,
    targets,
    aims,
  )
}

/** Two musts on one lever that no setting meets, x ≥ 7 and x ≤ 3, and a third that any does. */
export function apart(log: string[] | null = null): SearchProblem {
  return plainProblem(
    [rangeOf(0, 10, 10), rangeOf(0, 1, 4)],
    [{ of: sum(0, 1, 0) }, { exact: true, of: sum(0, 1, 1) }],
    [wish(0, { low: 7 }), wish(0, { high: 3 }), wish(1, { high: 90 })],
    [],
    log,
  )
}
