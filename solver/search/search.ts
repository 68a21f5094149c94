import { compromise } from './compromise.ts'
import { descend, violationDescent, wholeDescent } from './descend.ts'
import { finish } from './finish.ts'
import { frameOf } from './frame.ts'
import { type Levers, leversOf, valuesAt } from './levers.ts'
import { polishViolation } from './polish.ts'
import type { Sample, SearchProblem, SearchResult } from './problem.ts'
import { Run } from './run.ts'
import { LOOSE } from './samples.ts'
import { rounded, settle } from './settle.ts'
import { near, rankStarts, spreadPoint, startPoints } from './start.ts'
import { MOST_ALGEBRA, MOST_SETTINGS, ruledOut, scan, shareShort, sweep } from './sweep.ts'
import { betterThanBest, tunnel } from './tunnel.ts'
import { walk } from './walk.ts'

export interface SearchOptions {
  /** Lever values in SI to begin from as well: the answer to a sheet like this one. */
  readonly start?: Float64Array
  /** Flights' worth of work after which nothing more is tried. */
  readonly flightLimit?: number
}

/** Descents ending with less violation than this are settled; below `POLISH` they are polished. */
const CLOSE = 5e-3
const POLISH = 0.05
/** A shortfall that is nothing, and the share of its limit that it must pass to show a conflict. */
const NOTHING = 1e-6
const PLAIN = 0.02

/** Finds the settings that a problem asks for (design: what solving means). Deterministic; knows no clock. */
export function search(problem: SearchProblem, options: SearchOptions = {}): SearchResult {
  const levers = leversOf(problem.levers, problem.low, problem.high)
  if (levers.empty) return compromise(problem, 'proved', 'the ranges leave no setting that could meet the musts', 0)
  const points = startPoints(levers, levers.n >= 3 ? 11 : 3)
  const x = new Float64Array(levers.n)
  const flown = points.map((u): Sample => {
    valuesAt(levers, u, 0, x)
    return problem.fly(x, 'loose', true)
  })
  const run = new Run(frameOf(problem, levers, flown), options.flightLimit ?? Number.POSITIVE_INFINITY)
  const hunt: Hunt = { run, levers, starts: [], ends: [], spread: 3, descents: 0 }
  hunt.starts.push(...flown.map((sample, i) => run.samples.add(points[i]!, sample, LOOSE, true)))
  if (run.frame.allExact && levers.size <= MOST_SETTINGS) {
    sweep(run)
    return run.samples.solved ? solved(run, 'proved') : unsolved(hunt, 'proved', true)
  }
  for (const [starts, descents] of [
    [0, levers.n >= 3 ? 4 : 2],
    [8, 3],
    [16, 8],
  ] as const) {
    moreStarts(hunt, starts)
    goDown(hunt, descents)
    if (run.samples.solved) return improved(hunt)
    if (starts === 0 && ruledOut(run)) {
      leastViolation(hunt)
      return unsolved(hunt, 'proved', false)
    }
  }
  const least = leastViolation(hunt)
  if (!run.samples.solved) settleEnds(run, nearest(hunt), CLOSE)
  if (run.samples.solved) return improved(hunt)
  if (run.frame.allExact && levers.size <= MOST_ALGEBRA)
    return scan(run) ? improved(hunt) : unsolved(hunt, 'proved', true)
  if (least.share > PLAIN && least.violation > NOTHING) return unsolved(hunt, 'searched', false)
  if (run.frame.allExact && levers.size <= MOST_ALGEBRA)
    return scan(run) ? improved(hunt) : unsolved(hunt, 'proved', true)
  if (!(levers.size <= MOST_SETTINGS)) return unsure(unsolved(hunt, 'searched', false))
  sweep(run)
  return run.samples.solved ? improved(hunt) : unsolved(hunt, 'searched', true)
}

function unsure(found: SearchResult): SearchResult {
  return found.outcome === 'solved' ? found : { ...found, outcome: 'unsure' }
}

interface Hunt {
  readonly run: Run
  readonly levers: Levers
  /** Samples to begin from, where descents ended, points of the fixed set used. */
  readonly starts: number[]
  readonly ends: number[]
  spread: number
  descents: number
}

function moreStarts(hunt: Hunt, count: number): void {
  for (let i = 0; i < count; i++) hunt.starts.push(hunt.run.fly(spreadPoint(hunt.levers, ++hunt.spread), LOOSE))
}

/** Goes down from the best starts not yet represented by an end, then settles the ends that came near. */
function goDown(hunt: Hunt, most: number): void {
  const { run, ends } = hunt
  const { samples } = run
  const fresh: number[] = []
  for (const start of rankStarts(run, hunt.starts)) {
    if (fresh.length >= most) break
    if (ends.some(end => near(start.lands, samples.point(end), 0.12))) continue
    const end = descend(run, start.sample, wholeDescent(hunt.levers.n >= 3 ? 20 : 8))
    hunt.descents++
    fresh.push(end)
    ends.push(end)
  }
  settleEnds(run, fresh, CLOSE)
}

/** Settles what ends close to feasible, least violation first. */
function settleEnds(run: Run, ends: readonly number[], close: number): void {
  const near = ends.filter(end => run.samples.violation(end) <= close)
  near.sort((a, b) => run.samples.violation(a) - run.samples.violation(b))
  for (const end of near) settleFrom(run, end)
}

/** From where a descent ended to final settings: on the lattice of one or two levers, by a walk for more, finished where some have no steps. */
function settleFrom(run: Run, end: number): void {
  const u = run.samples.point(end).slice()
  const { n, ranges } = run.frame.levers
  if (ranges.some(range => range.settings === null)) finish(run, u)
  else if (n <= 2) settle(run, rounded(run, u))
  else {
    walk(run, u)
    if (n === 3 && run.samples.best >= 0) settle(run, rounded(run, run.samples.point(run.samples.best)))
  }
}

/** Looks for better places from an answer, and gives it. */
function improved(hunt: Hunt): SearchResult {
  const { run } = hunt
  const bounds = betterThanBest(run)
  if (bounds) for (const end of tunnel(run, bounds, 2, 8)) settleFrom(run, end)
  return solved(run, 'searched')
}

interface Least {
  readonly violation: number
  /** Of the limit itself. */
  readonly share: number
}

/** Descends on violation alone from every start, settling what gets inside; the least that is left, polished. */
function leastViolation(hunt: Hunt): Least {
  const { run, starts, ends } = hunt
  const { samples } = run
  for (const start of starts) {
    const end = descend(run, start, violationDescent(8, null))
    hunt.descents++
    ends.push(end)
    if (samples.violation(end) <= NOTHING) settleEnds(run, [end], NOTHING)
    if (samples.solved) return { violation: 0, share: 0 }
  }
  const order = [...ends].sort((a, b) => samples.violation(a) - samples.violation(b))
  let least = order[0]!
  if (samples.violation(least) < POLISH) least = polishViolation(run, least)
  ends.push(least)
  return { violation: samples.violation(least), share: shareShort(run, least) }
}

function solved(run: Run, evidence: SearchResult['evidence']): SearchResult {
  const { samples } = run
  const { levers } = run.frame
  const x = new Float64Array(levers.n)
  valuesAt(levers, samples.point(samples.best), 0, x)
  // A share takes a value to its double and back with a last bit lost: nine digits are nine digits.
  levers.ranges.forEach((range, l) => {
    if (range.settings === null) x[l] = range.inward(x[l]!)
  })
  return { outcome: 'solved', evidence, x, flights: samples.work, tried: '' }
}

/** The two ends with the least violation. */
function nearest({ run, ends }: Hunt): readonly number[] {
  return [...ends].sort((a, b) => run.samples.violation(a) - run.samples.violation(b)).slice(0, 2)
}

/** A conflict with the closest compromise. */
function unsolved(hunt: Hunt, evidence: SearchResult['evidence'], swept: boolean): SearchResult {
  const { run } = hunt
  const { samples } = run
  if (!swept) for (const end of nearest(hunt)) settleFrom(run, end)
  const found = solved(run, evidence)
  // The closest compromise may turn out to be none.
  if (samples.solved) return { ...found, evidence: 'searched' }
  return { ...found, outcome: 'conflict', tried: `${hunt.starts.length} starts, ${hunt.descents} descents` }
}
