import type { SearchAim, SearchProblem } from '../search/problem.ts'

/** Settings of one lever that are looked at, at most: more are gone through in strides. */
const MOST_LOOKED_AT = 200

/** The ends of the levers' ranges, in SI. */
export interface Box {
  readonly low: Float64Array
  readonly high: Float64Array
}

/**
 * The box outside which an aim is no better than `better` (a value of its row). Narrower than the ranges where the aim is algebra of one lever
 * alone, in steps: then it is that lever's better settings. Null where there are none.
 */
export function betterBox(
  problem: SearchProblem,
  x: Float64Array,
  aim: Exclude<SearchAim, { sense: 'roomiest' }>,
  better: number,
): Box | null {
  const low = Float64Array.from(problem.levers, range => range.from)
  const high = Float64Array.from(problem.levers, range => range.to)
  const lever = movingLever(problem, x, aim.row, { low, high })
  if (lever < 0) return { low, high }
  const settings = problem.levers[lever]!.settings!
  const stride = Math.ceil(settings.length / MOST_LOOKED_AT)
  const at = x.slice()
  let first = -1
  let last = -1
  for (
    let k = 0;
    k < settings.length;
    k = k === settings.length - 1 ? settings.length : Math.min(k + stride, settings.length - 1)
  ) {
    at[lever] = settings[k]!
    const value = problem.algebra(at).rows[aim.row]!
    if (!(aim.sense === 'least' ? value <= better : value >= better)) continue
    if (first < 0) first = k
    last = k
  }
  if (first < 0) return stride === 1 ? null : { low, high }
  low[lever] = settings[Math.max(0, first - stride + 1)]!
  high[lever] = settings[Math.min(settings.length - 1, last + stride - 1)]!
  return { low, high }
}

/** The one stepped lever that moves an exact row: at `x`, and with the others at the ends of their ranges; −1 where there is none such. */
function movingLever(problem: SearchProblem, x: Float64Array, row: number, { low, high }: Box): number {
  if (!problem.rows[row]!.exact) return -1
  const n = x.length
  const here = problem.algebra(x)
  const moving = [...x.keys()].filter(l => here.slopes[row * n + l] !== 0)
  const lever = moving[0]
  if (moving.length !== 1 || lever === undefined || problem.levers[lever]!.settings === null) return -1
  for (const ends of [low, high]) {
    const at = ends.slice()
    at[lever] = x[lever]!
    if (problem.algebra(at).rows[row] !== here.rows[row]) return -1
  }
  return lever
}
