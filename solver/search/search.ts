import { across } from './across.ts'
import { wholeDescent } from './descend.ts'
import { flyFew, isFew } from './few.ts'
import {
  begin,
  beginKnowing,
  CLOSE,
  closest,
  goDown,
  goDownFrom,
  type Hunt,
  leastViolation,
  moreStarts,
  NOTHING,
  settleEnds,
  settleFrom,
  type Terms,
} from './hunt.ts'
import { withoutIdle } from './idle.ts'
import { improve } from './improve.ts'
import { type Levers, leversOf, nearestSetting, shareOf } from './levers.ts'
import type { Flown, SearchProblem, SearchResult } from './problem.ts'
import type { Watch } from './run.ts'
import { MEDIUM, TIGHT } from './samples.ts'
import { isUneven, survey } from './survey.ts'
import { MOST_ALGEBRA, MOST_SETTINGS, ruledOut, scan, sweep } from './sweep.ts'

export interface SearchOptions {
  /** Lever values in SI to begin from as well: the answer to a sheet like this one. */
  readonly start?: Float64Array
  /** Whether the best place about the start will do, where there is one: then nothing is looked for elsewhere. */
  readonly local?: boolean
  /** Flights of the same rows and levers that were made before: a search about the start is scaled by them and flies no corners of its own. */
  readonly known?: readonly Flown[]
  /** Flights' worth of work after which nothing more is tried. */
  readonly flightLimit?: number
  /** Whether any settings that meet the musts will do: then nothing better is looked for. */
  readonly any?: boolean
  /** Told how many flights were made so far; false ends the search with the best it has, `unsure`. */
  readonly watch?: Watch
}

/** The share of its limit that a shortfall must pass to show a conflict: descents may stall below. */
const PLAIN = 0.02

/**
 * Finds the settings that a problem asks for: every must met, then the levels in order (design: what solving means).
 * Deterministic, whatever the order of targets and rows; knows no clock.
 */
export function search(problem: SearchProblem, options: SearchOptions = {}): SearchResult {
  const awake = withoutIdle(problem)
  if (awake) {
    const { start, known, ...others } = options
    const result = search(awake.problem, {
      ...others,
      ...(start ? { start: awake.part(start) } : {}),
      ...(known ? { known: known.map(awake.flown) } : {}),
    })
    return { ...result, x: result.x && awake.whole(result.x) }
  }
  // A search anew in the wider box counts from the start again.
  const over = options.watch ? across(options.watch) : null
  const terms: Terms = {
    limit: options.flightLimit ?? Number.POSITIVE_INFINITY,
    any: options.any ?? false,
    local: options.local ?? false,
    watch: over?.watch ?? null,
  }
  const result = searched(problem, terms, options.start ?? null, options.known ?? [])
  const tried = 'the search was stopped before it was done'
  return over?.ended() ? { ...result, outcome: 'unsure', evidence: 'searched', tried } : result
}

function searched(
  problem: SearchProblem,
  terms: Terms,
  start: Float64Array | null,
  known: readonly Flown[],
): SearchResult {
  const levers = leversOf(problem.levers, problem.low, problem.high)
  if (levers.empty)
    return closestOverall(problem, terms, {
      evidence: 'proved',
      tried: 'the ranges hold no setting that could meet the musts',
    })
  const few = isFew(levers, terms.limit)
  const at = start && terms.local && !few ? aboutStart(problem, levers, terms, start, known) : null
  if (at?.outcome === 'solved') return at
  // Of one or two levers the steps are settled whole, from an answer to a like sheet where there is one.
  const stepped = levers.n <= 2 && levers.size < Number.POSITIVE_INFINITY
  const hunt = begin(problem, levers, terms, few || (start !== null && (stepped || terms.local)))
  const found = few ? goThrough(hunt) : look(hunt, start)
  const result = at ? { ...found, flights: found.flights + at.flights } : found
  if (result.outcome === 'solved' || hunt.run.stopped || isWhole(problem)) return result
  const wider = closestOverall(problem, terms, result)
  return { ...wider, flights: wider.flights + result.flights }
}

/** The best place about the start, looked for by what is known; null where nothing is. */
function aboutStart(
  problem: SearchProblem,
  levers: Levers,
  terms: Terms,
  start: Float64Array,
  known: readonly Flown[],
): SearchResult | null {
  if (known.length === 0) return null
  const hunt = beginKnowing(problem, levers, terms, known)
  if (hunt.run.frame.allExact) return null
  beginFrom(hunt, start)
  return answer(hunt, 'searched', '')
}

/** Whether the box is not narrower than the ranges. */
function isWhole({ levers, low, high }: SearchProblem): boolean {
  return levers.every((range, l) => low[l]! <= range.from && high[l]! >= range.to)
}

/** A conflict's closest compromise, anywhere in the ranges: narrowing left out only what cannot meet the musts. */
function closestOverall(
  problem: SearchProblem,
  terms: Terms,
  verdict: Partial<SearchResult> & Pick<SearchResult, 'evidence' | 'tried'>,
): SearchResult {
  const low = Float64Array.from(problem.levers, range => range.from)
  const high = Float64Array.from(problem.levers, range => range.to)
  const levers = leversOf(problem.levers, low, high)
  const few = isFew(levers, terms.limit)
  const hunt = begin(problem, levers, { ...terms, any: false }, few)
  const { run } = hunt
  if (few) flyFew(run)
  else if (run.frame.allExact && levers.size <= MOST_SETTINGS) sweep(run)
  else {
    leastViolation(hunt)
    for (const end of closest(hunt, 3)) settleFrom(run, end)
    // Who takes any settings that meet the musts has no use for a compromise.
    if (!terms.any && isUneven(run)) survey(run)
  }
  const found = answer(hunt, verdict.evidence, verdict.tried)
  return run.samples.solved ? found : { ...found, outcome: verdict.outcome ?? 'conflict' }
}

/** Goes through a box of few settings: what is best in it is proved, that none meets the musts only where no flight was needed to tell. */
function goThrough(hunt: Hunt): SearchResult {
  const { whole, open } = flyFew(hunt.run, hunt.any)
  if (hunt.run.samples.solved) return answer(hunt, whole ? 'proved' : 'searched', '')
  const tried = hunt.run.frame.allExact
    ? 'every setting was worked out'
    : 'every setting was flown or ruled out by algebra'
  if (whole) return answer(hunt, open ? 'searched' : 'proved', tried)
  return { ...answer(hunt, 'searched', 'not every setting was flown'), outcome: 'unsure' }
}

function look(hunt: Hunt, start: Float64Array | null): SearchResult {
  const { run, levers, effort } = hunt
  const { samples, frame } = run
  if (frame.allExact && levers.size <= MOST_SETTINGS) {
    sweep(run)
    return answer(hunt, 'proved', 'every setting was worked out')
  }
  if (start) beginFrom(hunt, start)
  if (hunt.led) {
    // Tunnels look from all starts for what is better elsewhere.
    if (samples.solved) return hunt.local ? answer(hunt, 'searched', '') : improved(hunt)
    moreStarts(hunt, effort.spread)
  }
  for (const [attempt, descents] of effort.descents.entries()) {
    if (attempt > 0) moreStarts(hunt, effort.more[attempt - 1]!)
    goDown(hunt, descents)
    if (samples.solved) return improved(hunt)
    if (run.stopped) return unsolved(hunt, 'searched', '')
    if (attempt > 0 || !ruledOut(run)) continue
    leastViolation(hunt)
    return unsolved(hunt, 'proved', 'algebra alone rules out every setting')
  }
  const least = leastViolation(hunt)
  if (!samples.solved) settleEnds(run, closest(hunt, 2), CLOSE)
  if (samples.solved) return improved(hunt)
  if (run.stopped) return unsolved(hunt, 'searched', '')
  if (frame.allExact && levers.size <= MOST_ALGEBRA) {
    scan(run)
    return samples.solved ? improved(hunt) : unsolved(hunt, 'proved', 'every setting was worked out')
  }
  const tried = `${hunt.starts.length} starts, ${hunt.descents} descents`
  const continuous = levers.size === Number.POSITIVE_INFINITY
  if (least.violation > NOTHING && (least.share > PLAIN || continuous)) return unsolved(hunt, 'searched', tried)
  if (levers.size > MOST_SETTINGS || run.spent) {
    const found = unsolved(hunt, 'searched', tried)
    return found.outcome === 'conflict' ? { ...found, outcome: 'unsure' } : found
  }
  sweep(run)
  return samples.solved ? improved(hunt) : answer(hunt, 'searched', 'every setting was flown or ruled out by algebra')
}

/** Begins from an answer to a like sheet as well. */
function beginFrom(hunt: Hunt, x: Float64Array): void {
  const { run, levers } = hunt
  const u = Float64Array.from(x, (value, l) =>
    Math.min(levers.high[l]!, Math.max(levers.low[l]!, (value - levers.from[l]!) / levers.width[l]!)),
  )
  const sample = run.fly(u, MEDIUM)
  hunt.starts.push(sample)
  settleEnds(run, [goDownFrom(hunt, sample, wholeDescent(hunt.effort.flights, { radius: 0.1 }))], CLOSE)
}

function improved(hunt: Hunt): SearchResult {
  if (!hunt.any && !(isUneven(hunt.run) && survey(hunt.run))) improve(hunt)
  return answer(hunt, 'searched', '')
}

/** No answer: settles the closest compromise, which may yet turn out to be one. */
function unsolved(hunt: Hunt, evidence: SearchResult['evidence'], tried: string): SearchResult {
  for (const end of closest(hunt, 2)) settleFrom(hunt.run, end)
  if (isUneven(hunt.run)) survey(hunt.run)
  if (hunt.run.samples.best < 0) flyClosest(hunt)
  return hunt.run.samples.solved ? improved(hunt) : answer(hunt, evidence, tried)
}

/** Flies the settings nearest to the best place so far: all that is left where a search is stopped early. */
function flyClosest({ run, starts, ends, levers }: Hunt): void {
  const { samples } = run
  const best = [...starts, ...ends].reduce((least, each) =>
    samples.violation(each) < samples.violation(least) ? each : least,
  )
  const u = Float64Array.from(samples.point(best), (share, l) =>
    levers.count[l]! > 0 ? shareOf(levers, l, nearestSetting(levers, l, share)) : share,
  )
  samples.propose(run.fly(u, TIGHT))
}

function answer(hunt: Hunt, evidence: SearchResult['evidence'], tried: string): SearchResult {
  const { samples } = hunt.run
  const { solved } = samples
  const x = samples.best >= 0 ? samples.valuesOf(samples.best).slice() : null
  return { outcome: solved ? 'solved' : 'conflict', evidence, x, flights: samples.work, tried: solved ? '' : tried }
}
