import type { ChainOptions } from './chain.ts'
import { descend } from './descend.ts'
import { nearestSetting, shareOf, valuesAt } from './levers.ts'
import type { Run } from './run.ts'
import { TIGHT } from './samples.ts'

/** How far inside its limit a must is kept, in units of its margin, until nine digits hold it. */
const INSETS = [0, 2e-9, 2e-8, 2e-7, 2e-6]
/** Settings of the stepped levers that are tried beside levers without steps. */
const MOST_TRIALS = 40

/**
 * Finishes from a point where some levers have no steps: goes on with tight flights until next to nothing is to be gained, its
 * musts met from the inside, and rounds those levers to nine digits. Levers with steps are held at settings around the point, the
 * best of which is kept. What comes of it stands among the samples' finals.
 */
export function finish(run: Run, u: Float64Array): void {
  const { levers } = run.frame
  const stepped = [...levers.step.keys()].filter(l => levers.ranges[l]!.settings !== null)
  const tried = new Set<string>()
  const attempt = (k: readonly number[]): boolean => {
    const inside = k.every((at, i) => at >= 0 && at < levers.count[stepped[i]!]!)
    if (!inside || tried.has(k.join()) || tried.size >= MOST_TRIALS || run.spent) return false
    tried.add(k.join())
    const before = run.samples.best
    held(run, stepped, k, () => smooth(run, withSettings(run, u, stepped, k)))
    return run.samples.best !== before
  }
  let center = stepped.map(l => nearestSetting(levers, l, u[l]!))
  attempt(center)
  for (let better = true; better && stepped.length > 0; ) {
    better = false
    for (const k of neighbours(center)) {
      if (!attempt(k)) continue
      better = true
      center = k
      break
    }
  }
}

function neighbours(k: readonly number[]): readonly number[][] {
  return k.flatMap((_, i) => [1, -1].map(by => k.map((at, j) => (j === i ? at + by : at))))
}

function withSettings(run: Run, u: Float64Array, stepped: readonly number[], k: readonly number[]): Float64Array {
  const point = u.slice()
  stepped.forEach((l, i) => {
    point[l] = shareOf(run.frame.levers, l, k[i]!)
  })
  return point
}

/** Does some work with the stepped levers' box shut around their settings. */
function held(run: Run, stepped: readonly number[], k: readonly number[], work: () => void): void {
  const { low, high } = run.frame.levers
  const box = [low.slice(), high.slice()] as const
  stepped.forEach((l, i) => {
    low[l] = high[l] = shareOf(run.frame.levers, l, k[i]!)
  })
  work()
  low.set(box[0])
  high.set(box[1])
}

/** A tight descent, then small steps with the musts ever further inside until the point rounded to nine digits meets them. */
function smooth(run: Run, u: Float64Array): void {
  const { samples } = run
  const sample = descend(run, run.fly(u, TIGHT), {
    options: CHAIN,
    bounds: null,
    flights: 30,
    radius: 0.05,
    halt: 1e-7,
    grade: TIGHT,
    slack: 1e-9,
    slackByMove: 0,
    tie: 1e-10,
  })
  for (const inset of INSETS) {
    const rounded = run.fly(nineDigits(run, inside(run, sample, inset)), TIGHT)
    samples.propose(rounded)
    if (samples.violation(rounded) === 0 || samples.violation(sample) > 1e-6 || run.spent) return
  }
}

const CHAIN: ChainOptions = { goal: 'all', rounds: 1, ties: true, inset: 0 }

/** Where the linear programs lead from a sample when every must is to be met by `inset` of its margin more. */
function inside(run: Run, sample: number, inset: number): Float64Array {
  const { frame, samples, chain, bounds } = run
  const u = samples.point(sample).slice()
  if (inset === 0) return u
  const [y, slope] = [sample * frame.rows, sample * frame.rows * frame.levers.n]
  const led = chain.run(bounds, u, samples.y, y, samples.slope, slope, u, 1e-3, { ...CHAIN, inset })
  return led ? u.map((from, l) => from + chain.step[l]!) : u
}

/** A point with its free levers rounded to nine digits of their units. */
export function nineDigits(run: Run, u: Float64Array): Float64Array {
  const { levers } = run.frame
  const x = new Float64Array(levers.n)
  valuesAt(levers, u, 0, x)
  return Float64Array.from(x, (value, l) => {
    const { settings, inward, from } = levers.ranges[l]!
    return settings ? u[l]! : (inward(value) - from) / levers.width[l]!
  })
}
