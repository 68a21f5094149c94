import { leversOf } from '../search/levers.ts'
import type { Accuracy, Sample, SearchProblem } from '../search/problem.ts'
import { spreadPoint } from '../search/start.ts'

const GRADES: Record<Accuracy, number> = { loose: 0, medium: 1, tight: 2 }

/** A problem that flies no point twice, and what it flew. */
export interface Remembered {
  readonly problem: SearchProblem
  /** Points flown, with how well. */
  readonly flown: () => IterableIterator<{
    readonly x: Float64Array
    readonly accuracy: Accuracy
    readonly sample: Sample
  }>
  /** Flights' worth of work really done: samples remembered tell the work of their own flight again. */
  readonly work: () => number
}

interface Kept {
  readonly x: Float64Array
  readonly accuracy: Accuracy
  readonly slopes: boolean
  readonly sample: Sample
}

/** Remembers what is flown: many questions are asked of the same levers and rows. */
export function remembered(problem: SearchProblem): Remembered {
  const kept = new Map<string, Kept>()
  let work = 0
  const fly = (x: Float64Array, accuracy: Accuracy, slopes: boolean): Sample => {
    const key = x.join()
    const known = kept.get(key)
    // A tight flight stands for itself alone: it is the one that is reported.
    if (known && GRADES[known.accuracy] >= GRADES[accuracy] && (known.slopes || !slopes)) return known.sample
    const sample = problem.fly(x, accuracy, slopes)
    work += sample.work
    if (!known || GRADES[accuracy] > GRADES[known.accuracy] || (accuracy === known.accuracy && slopes))
      kept.set(key, { x: x.slice(), accuracy, slopes, sample })
    return sample
  }
  return { problem: { ...problem, fly }, flown: () => kept.values(), work: () => work }
}

/** Places looked at to find how wide the gaps between settings are. */
const PROBES = 512

/**
 * The widest gap between the points flown: how far, in shares of a lever's range, the lever farthest off lies at the place of the ranges that is
 * farthest from any of them; `idle` levers, that nothing hangs on, do not count. Found over a fixed spread of places.
 */
export function widestGap({ problem, flown }: Remembered, idle: readonly boolean[]): number {
  const { levers } = problem
  const low = Float64Array.from(levers, range => range.from)
  const high = Float64Array.from(levers, range => range.to)
  const box = leversOf(levers, low, high)
  const points = Array.from(flown(), ({ x }) => x.map((value, l) => (value - box.from[l]!) / box.width[l]!))
  let widest = 0
  for (let i = 1; i <= PROBES; i++) {
    const probe = spreadPoint({ ...box, low: low.fill(0), high: high.fill(1) }, i)
    let nearest = 1
    for (const point of points) {
      let far = 0
      for (let l = 0; l < probe.length && far < nearest; l++)
        if (!idle[l]) far = Math.max(far, Math.abs(point[l]! - probe[l]!))
      nearest = Math.min(nearest, far)
    }
    widest = Math.max(widest, nearest)
  }
  return widest
}
