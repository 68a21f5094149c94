import { APART, type Descent, descend, violationDescent, wholeDescent } from './descend.ts'
import { frameOf } from './frame.ts'
import { type Levers, valuesAt } from './levers.ts'
import { mix } from './mix.ts'
import { polishViolation } from './polish.ts'
import type { Flown, Sample, SearchProblem } from './problem.ts'
import { Run, type Watch } from './run.ts'
import { LOOSE, MEDIUM, TIGHT } from './samples.ts'
import { rounded, settle } from './settle.ts'
import { near, rankStarts, spreadPoint, startPoints } from './start.ts'
import { shareShort } from './sweep.ts'
import { walk } from './walk.ts'

/** Descents ending with less violation than this are settled; below `POLISHED` they are polished. */
export const CLOSE = 5e-3
const POLISHED = 0.05
/** A violation that is none. */
export const NOTHING = 1e-6

/** How much is tried, by the number of levers and by what a sample costs. */
export interface Effort {
  /** Points between middle and corners at first, then how many more at each further try. */
  readonly spread: number
  readonly more: readonly number[]
  /** Descents at first, then at each further try. */
  readonly descents: readonly number[]
  /** Flights of one descent, and of one on violation alone. */
  readonly flights: number
  readonly tunnels: number
}

export function effortOf(levers: Levers, free: boolean): Effort {
  const { n } = levers
  const many = n >= 3
  const flights = many ? 20 : 8
  if (free) return { spread: 24 + 8 * n, more: [8, 16], descents: [6, 6, 8], flights: 40, tunnels: 4 }
  const first = (many ? 4 : 2) + (levers.size === Number.POSITIVE_INFINITY ? 1 : 0)
  return { spread: n === 1 ? 5 : many ? 11 : 3, more: [8, 16], descents: [first, 3, 8], flights, tunnels: 2 }
}

/** One search under way. */
export interface Hunt {
  readonly run: Run
  readonly levers: Levers
  readonly effort: Effort
  /** Any settings that meet the musts will do. */
  readonly any: boolean
  /** The best place about the start will do. */
  readonly local: boolean
  /** Begun with fewer starts, since an answer to a like sheet leads it. */
  readonly led: boolean
  /** Samples to begin from, and where descents ended. */
  readonly starts: number[]
  readonly ends: number[]
  /** Points of the fixed set used up, and descents made. */
  spread: number
  descents: number
}

/** What a search may cost, and what will do. */
export interface Terms {
  readonly limit: number
  readonly any: boolean
  readonly local: boolean
  readonly watch: Watch | null
}

/** Flies the first starts and frames the problem by them; a search that is `led` by an answer to a like sheet does without the middle and those between. */
export function begin(problem: SearchProblem, levers: Levers, { limit, any, local, watch }: Terms, led = false): Hunt {
  const free = problem.rows.every(row => row.exact)
  const effort = effortOf(levers, free)
  const points = startPoints(levers, effort.spread, led)
  const x = new Float64Array(levers.n)
  // Where nothing is free there is one place, which is flown once.
  const only = levers.n === 0
  const flown = points.map((u): Sample => {
    valuesAt(levers, u, 0, x)
    return problem.fly(x, only ? 'tight' : 'loose', !only)
  })
  const run = new Run(frameOf(problem, levers, flown), limit, watch)
  const starts = flown.map((sample, i) => run.keep(points[i]!, sample, only ? TIGHT : free ? MEDIUM : LOOSE))
  if (only) run.samples.take(new Int32Array(0), starts[0]!)
  return { run, levers, effort, any, local, led, starts, ends: [], spread: led ? 0 : effort.spread, descents: 0 }
}

/** Frames the problem by flights made before, and flies none. */
export function beginKnowing(
  problem: SearchProblem,
  levers: Levers,
  { limit, any, local, watch }: Terms,
  known: readonly Flown[],
): Hunt {
  const samples = known.map(({ sample }) => sample)
  const run = new Run(frameOf(problem, levers, samples), limit, watch)
  const effort = effortOf(levers, run.frame.allExact)
  return { run, levers, effort, any, local, led: true, starts: [], ends: [], spread: 0, descents: 0 }
}

export function moreStarts(hunt: Hunt, count: number): void {
  const { run, levers, starts } = hunt
  for (let i = 0; i < count && !run.spent; i++)
    starts.push(run.fly(spreadPoint(levers, ++hunt.spread), run.frame.allExact ? MEDIUM : LOOSE))
}

/** Goes down from a sample; the end is kept, −1 where it was led to a known place. */
export function goDownFrom(hunt: Hunt, start: number, task: Descent): number {
  const end = descend(hunt.run, start, task)
  hunt.descents++
  if (end >= 0) hunt.ends.push(end)
  return end
}

/**
 * Goes down from the best starts that do not lead to a place where a descent has ended, then settles the ends that came near.
 * Places that were settled already are known to the descents too.
 */
export function goDown(hunt: Hunt, most: number): void {
  const { run, ends, starts, effort } = hunt
  const { samples } = run
  const known = samples.solved ? ends.map(end => samples.point(end).slice()) : []
  const task = wholeDescent(effort.flights, { known })
  const fresh: number[] = []
  let made = 0
  for (const start of rankStarts(run, starts)) {
    if (made >= most || run.spent) break
    if (ends.some(end => near(start.lands, samples.point(end), APART))) continue
    made++
    const end = goDownFrom(hunt, start.sample, task)
    if (end >= 0) fresh.push(end)
  }
  settleEnds(run, fresh, CLOSE)
}

/** Settles what ends close to feasible, least violation first. */
export function settleEnds(run: Run, ends: readonly number[], close: number): void {
  const { samples } = run
  const near = ends.filter(end => samples.violation(end) <= close)
  near.sort((a, b) => samples.violation(a) - samples.violation(b))
  let last = -1
  for (const end of near) {
    if (run.spent) return
    if (end !== last) settleFrom(run, end)
    last = end
  }
}

/** From where a descent ended to settings that can be written: on the lattice, by a walk for three levers and more, by polishing levers without steps. */
export function settleFrom(run: Run, end: number): void {
  const { levers } = run.frame
  if (levers.size === Number.POSITIVE_INFINITY) mix(run, end)
  else if (levers.n <= 2) settle(run, rounded(run, run.samples.point(end)))
  else {
    walk(run, run.samples.point(end).slice())
    if (levers.n === 3 && run.samples.best >= 0) settle(run, rounded(run, run.samples.point(run.samples.best)))
  }
}

/** How short the musts stay at the closest point, and what that is of the limit itself. */
export interface Least {
  readonly violation: number
  readonly share: number
}

/** Descends on violation alone from every start, settling what gets inside; the least that is left, polished. */
export function leastViolation(hunt: Hunt): Least {
  const { run, starts, ends, effort } = hunt
  const { samples } = run
  for (const start of starts) {
    if (run.spent) break
    const end = goDownFrom(hunt, start, violationDescent(effort.flights, null))
    if (samples.violation(end) <= NOTHING) settleEnds(run, [end], NOTHING)
    if (samples.solved) return { violation: 0, share: 0 }
  }
  for (const end of closest(hunt, 3)) {
    if (samples.violation(end) > POLISHED) break
    const polished = polishViolation(run, end)
    ends.push(polished)
    if (samples.violation(polished) <= NOTHING) break
  }
  const least = closest(hunt, 1)[0]!
  return { violation: samples.violation(least), share: shareShort(run, least) }
}

/** The ends with the least violation, one a place. */
export function closest({ run, ends }: Hunt, most: number): readonly number[] {
  const { samples } = run
  const order = [...ends].sort((a, b) => samples.violation(a) - samples.violation(b))
  const taken: number[] = []
  for (const end of order) {
    if (taken.length >= most) break
    if (!taken.some(other => near(samples.point(other), samples.point(end), 0.02))) taken.push(end)
  }
  return taken
}
