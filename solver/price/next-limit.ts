import { figureIn, marginIn } from '../conflict/judged.ts'
import { APART, descend, violationDescent } from '../search/descend.ts'
import { flyFew, isFew } from '../search/few.ts'
import { begin, beginKnowing, closest, goDown, type Hunt, NOTHING, settleFrom, type Terms } from '../search/hunt.ts'
import { improve } from '../search/improve.ts'
import { type Levers, leversOf } from '../search/levers.ts'
import { TIE } from '../search/order.ts'
import { polishViolation } from '../search/polish.ts'
import type { Accuracy, Flown, Sample, SearchAim, SearchProblem, SearchTarget } from '../search/problem.ts'
import type { Run } from '../search/run.ts'
import { LOOSE, MEDIUM, TIGHT } from '../search/samples.ts'
import { search } from '../search/search.ts'
import { near, rankStarts, type Start } from '../search/start.ts'
import { betterBox } from './better-box.ts'
import { knowing, sloped } from './flown.ts'

/** Settings at which the first aim is better, with the limit of one target as near as may be. */
export interface NextLimit {
  /** The figure that the limit would have to allow, and its margin now. */
  readonly value: number
  readonly margin: number
  readonly x: Float64Array
}

/** What a look for the next limit found, and its flights' worth of work. */
export interface Looked {
  readonly next: NextLimit | null
  readonly work: number
}

/** Points to begin from, and descents on violation alone. */
const STARTS = 8
const DESCENTS = 3
/** Violations below this are polished; what is left above `PLAIN` then is no stalled descent. */
const NEAR = 0.05
const PLAIN = 1e-4

const GRADES: Readonly<Record<Accuracy, number>> = { loose: LOOSE, medium: MEDIUM, tight: TIGHT }
const TERMS: Terms = { limit: Number.POSITIVE_INFINITY, any: false, local: false, watch: null }

/**
 * With steps: the nearest limit of a target at which settings with a better first aim win (what comes after that aim, the room left first of all, may choose others sooner). All other targets are kept (they are met at `x`), the
 * first aim is better by at least a tie. Null where no setting of the ranges is. `flown` are flights of the same rows and
 * levers, from which the look begins.
 */
export function nextLimit(
  problem: SearchProblem,
  x: Float64Array,
  target: number,
  flown: readonly Flown[] = [],
): Looked {
  const none = { next: null, work: 0 }
  const first = problem.aims[0]!
  // A tolerance that only weighs how far off a figure is keeps no setting out.
  if (first.sense === 'roomiest' || weighed(problem.targets[target]!)) return none
  const known = flown.find(each => each.accuracy === 'tight' && each.x.every((value, l) => value === x[l]))
  const here = known?.sample ?? problem.fly(x, 'tight', false)
  const now = here.rows[first.row]!
  if (!Number.isFinite(now)) return none
  const better = now + (first.sense === 'least' ? -1 : 1) * 2 * TIE * Math.max(Math.abs(now), 1e-300)
  const box = betterBox(problem, x, first, better)
  if (!box) return none
  const targets = problem.targets.map(
    (each, t): SearchTarget => (t === target ? { ...each, level: 'should' } : kept(problem, each, here)),
  )
  const asked = { ...problem, targets: [...targets, beyond(problem, first, better)] }
  const found = settingsOf(asked, leversOf(problem.levers, box.low, box.high), x, flown)
  if (!found.x) return { next: null, work: found.work }
  const judged = problem.targets[target]!
  const there = problem.fly(found.x, 'tight', false)
  const value = figureIn(problem, judged, there)
  const margin = marginIn(judged, value)
  if (!(margin < 0 && Number.isFinite(margin))) return { next: null, work: found.work }
  if (!othersMayWin(problem, judged)) return { next: { value, margin, x: found.x }, work: found.work }
  const moved = problem.targets.map((each, t) => (t === target ? movedTo(problem, each, there) : each))
  const winner = search({ ...problem, targets: moved }, { start: found.x })
  const won = winner.outcome === 'solved' && winner.x && problem.fly(winner.x, 'tight', false).rows[first.row]!
  // Where another level decides at that limit, the first aim has no say in it.
  const wins = typeof won === 'number' && (first.sense === 'least' ? won <= better : won >= better)
  return { next: wins ? { value, margin, x: winner.x! } : null, work: found.work + winner.flights }
}

/** Whether settings that need the same limit, or none, may come before those found: no two flights need quite the same. */
function othersMayWin(problem: SearchProblem, target: SearchTarget): boolean {
  return target.rows.every(row => problem.rows[row]!.exact) || problem.targets.some(weighed)
}

/** One that counts at its level even where it is met, by how far off it is. */
function weighed({ kind, level }: SearchTarget): boolean {
  return kind === 'equal within' && level !== 'must'
}

/** A target that is met, as a must: what comes before the aim at its level stays no worse than it is `here`. */
function kept(problem: SearchProblem, target: SearchTarget, here: Sample): SearchTarget {
  if (!weighed(target)) return { ...target, level: 'must' }
  const middle = (target.low + target.high) / 2
  const value = figureIn(problem, target, here)
  const off = Math.max(Math.abs(value - middle), 1e-9 * target.scale)
  const plain = target.rows.every(row => problem.rows[row]!.figure === null)
  const rowEnds = plain ? { rowLow: middle - off, rowHigh: middle + off } : {}
  return { ...target, ...rowEnds, level: 'must', low: middle - off, high: middle + off, scale: off }
}

/** A target with its limit where settings need it. */
function movedTo(problem: SearchProblem, target: SearchTarget, there: Sample): SearchTarget {
  const { kind, low, high, scale } = target
  const value = figureIn(problem, target, there)
  const row = Math.max(...target.rows.map(each => there.rows[each]!))
  if (kind === 'equal within') {
    const off = Math.abs(value - (low + high) / 2)
    const rowEnds = value < low ? { rowLow: row } : { rowHigh: row }
    return { ...target, ...rowEnds, low: (low + high) / 2 - off, high: (low + high) / 2 + off, scale: off }
  }
  const moved =
    kind === 'at least' || (kind !== 'at most' && value < low)
      ? { ...target, low: value, rowLow: row }
      : { ...target, high: value, rowHigh: row }
  const size = kind === 'within' ? (moved.high - moved.low) / 2 : Math.abs(value) || scale
  return {
    ...moved,
    ...(kind === 'equal to' ? { low: value, high: value, rowLow: row, rowHigh: row } : {}),
    scale: size,
  }
}

/** The target that an aim's row is better than that. */
function beyond(
  problem: SearchProblem,
  { sense, row }: Exclude<SearchAim, { sense: 'roomiest' }>,
  better: number,
): SearchTarget {
  const { figure } = problem.rows[row]!
  const limit = figure ? figure(better) : better
  const open = { level: 'must', rows: [row], scale: Math.abs(limit) || 1 } as const
  const [low, high] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY]
  return sense === 'least'
    ? { ...open, kind: 'at most', low, high: limit, rowLow: low, rowHigh: better }
    : { ...open, kind: 'at least', low: limit, high, rowLow: better, rowHigh: high }
}

/**
 * Settings that meet the musts with the least shortfall of the should; null where none were found. Where several need the same limit, the
 * aims choose among them; not among flights that are only searched, where no two need quite the same.
 */
function settingsOf(
  asked: SearchProblem,
  levers: Levers,
  x: Float64Array,
  flown: readonly Flown[],
): { readonly x: Float64Array | null; readonly work: number } {
  if (levers.empty) return { x: null, work: 0 }
  if (asked.rows.every(row => row.exact)) {
    const found = search(asked)
    return { x: found.outcome === 'solved' ? found.x : null, work: found.flights }
  }
  const still = holdingIdle(asked, levers, x)
  const { samples } = isFew(still)
    ? goneThrough(asked, still, flown)
    : lookedAbout({ ...asked, aims: [] }, levers, x, sloped(flown))
  return { x: samples.solved ? samples.valuesOf(samples.best).slice() : null, work: samples.work }
}

/** The levers, those that nothing hangs on held where they are. */
function holdingIdle({ idle }: SearchProblem, levers: Levers, x: Float64Array): Levers {
  if (!idle?.some(Boolean)) return levers
  const end = (shares: Float64Array): Float64Array =>
    shares.map((share, l) => (idle[l] ? x[l]! : levers.from[l]! + share * levers.width[l]!))
  return leversOf(levers.ranges, end(levers.low), end(levers.high))
}

/** Every setting of a box of few, but for what algebra rules out; most were flown for the settings of the sheet. */
function goneThrough(asked: SearchProblem, levers: Levers, flown: readonly Flown[]): Run {
  const problem = knowing(asked, flown)
  const slopes = sloped(flown)
  const { run } = slopes.length > 0 ? beginKnowing(problem, levers, TERMS, slopes) : begin(problem, levers, TERMS, true)
  flyFew(run)
  return run
}

function lookedAbout(asked: SearchProblem, levers: Levers, x: Float64Array, flown: readonly Flown[]): Run {
  const hunt = huntFrom(asked, levers, x, flown)
  look(hunt)
  return hunt.run
}

/** A search under way that knows the flights made before, and begins from the best of them. */
function huntFrom(problem: SearchProblem, levers: Levers, x: Float64Array, flown: readonly Flown[]): Hunt {
  if (flown.length === 0) return begin(problem, levers, TERMS)
  const hunt = beginKnowing(problem, levers, TERMS, flown)
  const { run, starts } = hunt
  const { samples } = run
  const shares = (at: Float64Array): Float64Array => at.map((value, l) => (value - levers.from[l]!) / levers.width[l]!)
  for (const each of flown) {
    const u = shares(each.x)
    const at = run.keep(u, { ...each.sample, work: 0 }, GRADES[each.accuracy])
    if (u.every((share, l) => share >= levers.low[l]! && share <= levers.high[l]!)) starts.push(at)
  }
  starts.sort((a, b) => samples.key(a)[0]! - samples.key(b)[0]! || samples.key(a)[1]! - samples.key(b)[1]!)
  starts.length = Math.min(starts.length, STARTS - 1)
  // The settings of the sheet, moved into the box: what is best there lies near them more often than not.
  starts.push(
    run.fly(
      shares(x).map((share, l) => Math.min(levers.high[l]!, Math.max(levers.low[l]!, share))),
      MEDIUM,
    ),
  )
  return hunt
}

/**
 * Goes down on violation alone first: where all of it stays above nothing, no settings meet the musts. Else over all levels, as in any search,
 * from where it led as well.
 */
function look(hunt: Hunt): void {
  const { run, starts, effort } = hunt
  const { samples } = run
  const least = leastFrom(hunt, rankStarts(run, starts))
  if (samples.violation(least) > PLAIN) return
  starts.push(least)
  goDown(hunt, effort.descents[0]!)
  for (const end of [least, ...closest(hunt, 1)])
    if (!samples.solved && samples.violation(end) <= NEAR) settleFrom(run, end)
  if (samples.solved) improve(hunt)
}

/** The sample with the least violation, going down from a few ranked starts that lie apart, polished where it is small. */
function leastFrom({ run, effort }: Hunt, ranked: readonly Start[]): number {
  const { samples } = run
  const ends: number[] = []
  for (const start of ranked) {
    if (ends.length >= DESCENTS) break
    if (ends.some(end => near(start.lands, samples.point(end), APART))) continue
    const end = descend(run, start.sample, violationDescent(effort.flights, null))
    if (samples.violation(end) <= NOTHING) return end
    ends.push(end)
  }
  ends.sort((a, b) => samples.violation(a) - samples.violation(b))
  const least = ends[0]!
  return samples.violation(least) > NEAR ? least : polishViolation(run, least)
}
