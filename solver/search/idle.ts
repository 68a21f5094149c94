import type { Range } from '../model/model.ts'
import type { Flown, Sample, SearchProblem } from './problem.ts'

/** A problem without its idle levers, and lever values with them and without. */
export interface Awake {
  readonly problem: SearchProblem
  readonly whole: (x: Float64Array) => Float64Array
  readonly part: (x: Float64Array) => Float64Array
  /** A flight of the whole problem as one of this. */
  readonly flown: (flight: Flown) => Flown
}

/** Leaves out the levers that nothing asked for hangs on: all that is said of them is where they rest. Null where there is none. */
export function withoutIdle(problem: SearchProblem): Awake | null {
  const { levers, low, high, idle } = problem
  if (!idle?.some(Boolean)) return null
  const kept = [...levers.keys()].filter(l => !idle[l])
  const resting = Float64Array.from(levers, (range, l) => restOf(range, low[l]!, high[l]!))
  const part = (x: Float64Array): Float64Array => Float64Array.from(kept, l => x[l]!)
  const whole = (x: Float64Array): Float64Array => {
    const all = resting.slice()
    for (let l = 0; l < kept.length; l++) all[kept[l]!] = x[l]!
    return all
  }
  const sample = ({ rows: values, slopes, lifts, work }: Sample): Sample => {
    const rows = problem.rows.length
    const own = new Float64Array(rows * kept.length)
    for (let r = 0; r < rows; r++)
      for (let l = 0; l < kept.length; l++) own[r * kept.length + l] = slopes[r * levers.length + kept[l]!] ?? 0
    return { rows: values, slopes: own, lifts, work }
  }
  const reached = <T extends { readonly reach?: readonly boolean[] }>(each: T): T =>
    each.reach ? { ...each, reach: kept.map(l => each.reach![l]!) } : each
  const { idle: _, ...asked } = problem
  return {
    problem: {
      ...asked,
      levers: kept.map(l => levers[l]!),
      low: part(low),
      high: part(high),
      rows: problem.rows.map(reached),
      targets: problem.targets.map(reached),
      algebra: (x, slopes) => sample(problem.algebra(whole(x), slopes)),
      fly: (x, accuracy, slopes) => sample(problem.fly(whole(x), accuracy, slopes)),
    },
    whole,
    part,
    flown: flight => ({ x: part(flight.x), accuracy: flight.accuracy, sample: sample(flight.sample) }),
  }
}

/** Distances from the middle nearer than this share of the range are alike. */
const ALIKE = 1e-9

/** Where a lever rests that nothing hangs on: nearest to the middle of its range, the smaller of two; inside the box. */
export function restOf({ from, to, settings, inward }: Range, low: number, high: number): number {
  const middle = (from + to) / 2
  if (settings === null) return inward(Math.min(high, Math.max(low, middle)))
  let best = settings[0]!
  let least = Number.POSITIVE_INFINITY
  for (const setting of settings) {
    const away = Math.abs(setting - middle)
    if (!(away < least - ALIKE * (to - from)) || setting < low || setting > high) continue
    best = setting
    least = away
  }
  return best
}
