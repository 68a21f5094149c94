import type { Range } from '../model/model.ts'
import { across } from '../search/across.ts'
import { isFew } from '../search/few.ts'
import type { SearchProblem, SearchResult, SearchTarget } from '../search/problem.ts'
import type { Watch } from '../search/run.ts'
import { search } from '../search/search.ts'
import { allowanceOf, figureIn, marginIn } from './judged.ts'
import { type Remembered, remembered, widestGap } from './remembered.ts'
import { impossibleSets, type Mask, maskOf, placesOf, Together, type Verdict } from './sets.ts'
import { leversAwake, settingsCount, tabulate } from './table.ts'

/** Boxes of no more settings than this are gone through one by one. */
const MOST_SETTINGS = 20_000
/** Sets told, and questions asked for them where the settings are too many to go through. */
const BOUNDS = { most: 3, questions: 40 }
/** Flights spent on a look at one end of one lever's range, where it holds more than few settings. */
const WIDENING_FLIGHTS = 300

/** What is asked of the sheet beside the search. */
export interface Sources {
  /** The search of the whole ranges, all targets in it, no aims. */
  readonly problem: SearchProblem
  /** The box of the levers that some musts (by place in `problem.targets`) leave, by proof; null: they leave nothing. */
  readonly narrow: (musts: readonly number[], ranges: readonly Range[]) => Box | null
  /** The same with a lever's range beyond one end, as wide again, steps going on; null where it cannot be. */
  readonly beyond: (lever: number, end: End) => SearchProblem | null
}

export interface Box {
  readonly low: Float64Array
  readonly high: Float64Array
}

export type End = 'from' | 'to'

/** The smallest move of one target's limit that frees its set. */
export interface Mend {
  /** Place in `problem.targets`. */
  readonly target: number
  /** The figure at the settings found, which the limit must reach, and its margin before. */
  readonly value: number
  readonly margin: number
  readonly x: Float64Array
}

/** An end of a lever's range that, moved out as far as `to`, frees the set. */
export interface Widening {
  readonly lever: number
  readonly end: End
  readonly to: number
}

/** Musts that cannot be met together, none of which can be left out. */
export interface ConflictSet {
  readonly targets: readonly number[]
  readonly evidence: 'proved' | 'searched'
  /** Work of the flights that the evidence rests on. */
  readonly work: number
  /** Every setting of the ranges was flown or ruled out. */
  readonly every: boolean
  /** The widest gap between settings tried, in shares of a lever's range. */
  readonly gap: number
  readonly mends: readonly Mend[]
  readonly widenings: readonly Widening[]
}

export interface Explained {
  readonly sets: readonly ConflictSet[]
  /** Whether all was looked for: where the watch ended it, fewer musts may be too many already, and mends may be missing. */
  readonly whole: boolean
  /** Flights' worth of work. */
  readonly work: number
}

/**
 * Says why the musts of a sheet cannot all be met: up to three irreducible sets, each with what would free it. Where `watch` ends it, the sets
 * are those known by then, at the least all musts.
 */
export function explain(sources: Sources, compromise: SearchResult, watch: Watch = () => true): Explained {
  const known = remembered(sources.problem)
  const { problem } = known
  const musts = [...problem.targets.keys()].filter(t => problem.targets[t]!.level === 'must')
  const together = new Together()
  if (compromise.x) together.add(metAt(known, musts, compromise.x))
  const over = across(watch)
  const evidence = new Map<Mask, number>()
  // No setting is looked at twice there: nothing to remember.
  const table = settingsCount(problem) <= MOST_SETTINGS ? tabulate(sources.problem, musts, together, over.watch) : null
  const every = table?.whole === true
  const swept = table?.work ?? 0
  const questioned: Questioned = { sources, known, resting: compromise.x, over }
  const ask = (mask: Mask): Verdict => {
    if (every) return 'impossible'
    return asked(questioned, musts, mask, evidence)
  }
  const masks = impossibleSets(musts.length, together, ask, BOUNDS)
  const widers = masks.length > 0 ? widersOf(sources) : []
  const sets = masks.map((mask): ConflictSet => {
    const targets = placesOf(mask).map(place => musts[place]!)
    const proved = sources.narrow(targets, problem.levers) === null
    return {
      targets,
      evidence: proved ? 'proved' : 'searched',
      work: proved ? 0 : every ? swept : (evidence.get(mask) ?? compromise.flights),
      every,
      gap: every ? oneStep(problem) : widestGap(known, idleIn(problem, targets)),
      mends: targets.flatMap(target => mendOf(questioned, targets, target) ?? []),
      widenings: wideningsOf(questioned, widers, targets),
    }
  })
  return {
    sets,
    whole: !over.ended(),
    work: widers.reduce((work, wider) => work + wider.known.work(), swept + known.work()),
  }
}

/** Which musts are met by a tight flight. */
function metAt({ problem }: Remembered, musts: readonly number[], x: Float64Array): Mask {
  const sample = problem.fly(x, 'tight', false)
  return maskOf(
    musts.flatMap((t, place) => {
      const target = problem.targets[t]!
      return marginIn(target, figureIn(problem, target, sample)) >= -allowanceOf(target) ? [place] : []
    }),
  )
}

/** What questions are put to: the sheet, what was flown for those before, and where levers rest that a question does not hang on (null: in the middle). */
interface Questioned {
  readonly sources: Sources
  readonly known: Remembered
  readonly resting: Float64Array | null
  readonly over: ReturnType<typeof across>
}

/** Asks the search whether some musts can be met together. */
function asked(
  { sources, known, resting, over }: Questioned,
  musts: readonly number[],
  mask: Mask,
  evidence: Map<Mask, number>,
): Verdict {
  const { problem } = known
  const targets = placesOf(mask).map(place => musts[place]!)
  const box = sources.narrow(targets, problem.levers)
  if (!box) return 'impossible'
  if (over.ended()) return 'unsure'
  const result = search(posed(problem, box, resting, targets, null), { any: true, watch: over.watch })
  evidence.set(mask, result.flights)
  if (result.outcome === 'solved') return { met: metAt(known, musts, result.x!) }
  return result.outcome === 'conflict' ? 'impossible' : 'unsure'
}

/**
 * The problem of some musts alone, with one target more that should be met. Levers that none of them hangs on rest where all of them came closest:
 * a search over them as well takes several times as long.
 */
function posed(
  problem: SearchProblem,
  { low, high }: Box,
  resting: Float64Array | null,
  musts: readonly number[],
  soft: number | null,
): SearchProblem {
  const at = (t: number, level: SearchTarget['level']): SearchTarget => ({ ...problem.targets[t]!, level })
  const idle = idleIn(problem, soft === null ? musts : [...musts, soft])
  const inside = (end: Float64Array): Float64Array => end.map((value, l) => (idle[l] && resting ? resting[l]! : value))
  return {
    ...problem,
    low: inside(low),
    high: inside(high),
    targets: [...musts.map(t => at(t, 'must')), ...(soft === null ? [] : [at(soft, 'should')])],
    aims: [],
    idle,
  }
}

/** Which levers some targets do not hang on. */
function idleIn({ targets, levers, idle }: SearchProblem, asked: readonly number[]): readonly boolean[] {
  return levers.map((_, l) => idle?.[l] === true || asked.every(t => targets[t]!.reach?.[l] === false))
}

/** The settings that meet the other musts of a set and leave this one least short. */
function mendOf({ sources, known, resting, over }: Questioned, set: readonly number[], target: number): Mend | null {
  const { problem } = known
  const others = set.filter(other => other !== target)
  const box = sources.narrow(others, problem.levers)
  if (!box || over.ended()) return null
  const { outcome, x } = search(posed(problem, box, resting, others, target), { watch: over.watch })
  if (outcome !== 'solved' || !x) return null
  const judged = problem.targets[target]!
  const value = figureIn(problem, judged, problem.fly(x, 'tight', false))
  const margin = marginIn(judged, value)
  return Number.isFinite(value) && Number.isFinite(margin) ? { target, value, margin, x } : null
}

/** The problem with one lever's range beyond one of its ends, the lever itself in its last row. */
interface Wider {
  readonly lever: number
  readonly end: End
  readonly known: Remembered
}

/** The ends of the ranges beyond which a lever could go on: each is flown for all sets together. */
function widersOf({ problem, beyond }: Sources): readonly Wider[] {
  return problem.levers.flatMap((_, lever) =>
    (['from', 'to'] as const).flatMap((end): Wider[] => {
      const wider = problem.idle?.[lever] ? null : beyond(lever, end)
      return wider ? [{ lever, end, known: remembered(withLever(wider, lever)) }] : []
    }),
  )
}

/** The ends of levers' ranges that stand in a set's way: moved out by up to the range's own width, they free it. */
function wideningsOf(
  { sources, resting, over }: Questioned,
  widers: readonly Wider[],
  targets: readonly number[],
): Widening[] {
  return widers.flatMap(({ lever, end, known: { problem } }): Widening[] => {
    // What none of them hangs on does not stand in their way.
    const box = idleIn(problem, targets)[lever] ? null : sources.narrow(targets, problem.levers)
    if (!box || over.ended()) return []
    const row = problem.rows.length - 1
    const asked = {
      ...posed(problem, box, resting, targets, null),
      aims: [{ sense: end === 'to' ? 'least' : 'most', row }] as const,
    }
    // A box of few is flown whole, the nearest first, once for all sets.
    const few = isFew(leversAwake(asked, asked.low, asked.high))
    const result = search(asked, { watch: over.watch, ...(few ? {} : { flightLimit: mostWork(problem) }) })
    return result.outcome === 'solved' ? [{ lever, end, to: result.x![lever]! }] : []
  })
}

/** Work that a look at one end may take. */
function mostWork({ levers, fly }: SearchProblem): number {
  const middle = Float64Array.from(levers, range => (range.from + range.to) / 2)
  return WIDENING_FLIGHTS * fly(middle, 'tight', false).work || Number.POSITIVE_INFINITY
}

/** A problem with one row more: the lever itself. */
function withLever(problem: SearchProblem, lever: number): SearchProblem {
  const n = problem.levers.length
  const more = (sample: ReturnType<SearchProblem['algebra']>, x: Float64Array) => {
    const rows = Float64Array.of(...sample.rows, x[lever]!)
    const slopes = new Float64Array(rows.length * n)
    slopes.set(sample.slopes.subarray(0, (rows.length - 1) * n))
    slopes[(rows.length - 1) * n + lever] = 1
    return { ...sample, rows, slopes }
  }
  return {
    ...problem,
    rows: [...problem.rows, { exact: true, figure: null, reach: problem.levers.map((_, l) => l === lever) }],
    algebra: (x, slopes) => more(problem.algebra(x, slopes), x),
    fly: (x, accuracy, slopes) => more(problem.fly(x, accuracy, slopes), x),
  }
}

/** One step of the lever with the widest, in shares of its range; idle levers have none. */
function oneStep({ levers, idle }: SearchProblem): number {
  const shares = levers.map(({ settings, from, to }, l) => {
    if (idle?.[l]) return 0
    return settings!.length > 1 ? (settings![1]! - settings![0]!) / (to - from) : 1
  })
  return Math.max(0, ...shares)
}
