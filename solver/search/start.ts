import type { Levers } from './levers.ts'
import { type Run, WHOLE } from './run.ts'

const BASES = [2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37]

/** Point i of Halton's sequence in one dimension (Halton 1960): the digits of i in a base, mirrored. */
function mirrored(i: number, base: number): number {
  let share = 1
  let value = 0
  for (let rest = i; rest > 0; rest = Math.floor(rest / base)) {
    share /= base
    value += share * (rest % base)
  }
  return value
}

/** Point i ≥ 1 of a fixed low-discrepancy set in the box, in shares. */
export function spreadPoint({ n, low, high }: Levers, i: number): Float64Array {
  return Float64Array.from(
    { length: n },
    (_, l) => low[l]! + (high[l]! - low[l]!) * mirrored(i, BASES[l % BASES.length]!),
  )
}

/** Up to so many levers the corners of the box are starts. */
const CORNERED = 3

/**
 * Where the search begins: the middle of the box, its corners (up to three levers), then `spread` points between. A search that is `led` by
 * an answer to a like sheet has the corners alone, where there are any.
 */
export function startPoints(levers: Levers, spread: number, led: boolean): Float64Array[] {
  const { n, low, high } = levers
  const points: Float64Array[] = []
  if (!led || n > CORNERED) points.push(Float64Array.from(low, (from, l) => (from + high[l]!) / 2))
  if (n <= CORNERED)
    for (let corner = 0; corner < 2 ** n; corner++)
      points.push(Float64Array.from(low, (from, l) => ((corner >> l) & 1 ? high[l]! : from)))
  if (!led) for (let i = 1; i <= spread; i++) points.push(spreadPoint(levers, i))
  return points
}

/** A start with what one chain of linear programs promises from it. */
export interface Start {
  readonly sample: number
  readonly lands: Float64Array
  /** Promised violation with a tenth of the actual, then the levels. */
  readonly rank: readonly number[]
}

/** Ranks samples by one chain at each, best first. */
export function rankStarts(run: Run, samples: readonly number[], radius = 0.35): Start[] {
  const { frame, chain, samples: kept } = run
  const { n } = frame.levers
  const starts = samples.map((sample): Start => {
    const u = kept.point(sample)
    const done = chain.run(
      run.bounds,
      u,
      kept.y,
      sample * frame.rows,
      kept.slope,
      sample * frame.rows * n,
      u,
      radius,
      WHOLE,
    )
    if (!done) return { sample, lands: Float64Array.from(u), rank: [kept.violation(sample), Number.POSITIVE_INFINITY] }
    const aims = frame.parts.map((_, i) => chain.aims[i]!)
    const violation = chain.violation + 0.1 * kept.violation(sample)
    return {
      sample,
      lands: Float64Array.from(u, (from, l) => from + chain.step[l]!),
      rank: [violation, chain.should, chain.could, ...aims],
    }
  })
  return starts.sort((a, b) => byRank(a.rank, b.rank))
}

/** Whether two points are nearer than that in every lever. */
export function near(a: Float64Array, b: Float64Array, distance: number): boolean {
  for (let l = 0; l < a.length; l++) if (!(Math.abs(a[l]! - b[l]!) < distance)) return false
  return true
}

function byRank(a: readonly number[], b: readonly number[]): number {
  for (let i = 0; i < a.length; i++) {
    const [one, two] = [a[i]!, b[i] ?? 0]
    if (one < two) return -1
    if (one > two) return 1
  }
  return 0
}
