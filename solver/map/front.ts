import type { SearchAim, SearchProblem, SearchTarget } from '../search/problem.ts'
import { search } from '../search/search.ts'

/** Values of an aim nearer than this, as a share of the whole front's width, are one. */
const SAME = 1e-6
/** Looks at the front for each place of it that is asked for. */
const TRIES = 4

type Direct = Exclude<SearchAim, { sense: 'roomiest' }>

/** One place of the front: settings, and what the two aims are worth there (figures, SI). */
export interface FrontPlace {
  readonly x: Float64Array
  readonly first: number
  readonly second: number
}

export interface Front {
  /** From the best of the first aim to the best of the second; neither can improve on any without the other losing. */
  readonly places: readonly FrontPlace[]
  /** The place where the front bends most, as a place in `places`; −1 where it has no bend. */
  readonly knee: number
  /** Flights' worth of work. */
  readonly work: number
}

/**
 * The front of a problem's first two aims: the ends by solving for either aim first, then ever again between the two
 * neighbours that lie farthest apart, with the second aim held at least half way. Null where a sheet has no two aims or is not solved.
 */
export function frontOf(problem: SearchProblem, count: number): Front | null {
  const [first, second] = problem.aims
  if (!first || !second || first.sense === 'roomiest' || second.sense === 'roomiest') return null
  let work = 0
  const solve = (aims: readonly Direct[], bounds: readonly SearchTarget[]): FrontPlace | null => {
    const asked = [...aims, { sense: 'roomiest' } as const]
    const found = search({ ...problem, targets: [...problem.targets, ...bounds], aims: asked })
    work += found.flights
    if (found.outcome !== 'solved' || !found.x) return null
    const rows = problem.fly(found.x, 'tight', false).rows
    return { x: found.x, first: figure(problem, first, rows), second: figure(problem, second, rows) }
  }
  const best = solve([first, second], [])
  const other = solve([second, first], [])
  if (!best || !other) return null
  const spans = [best.first - other.first, best.second - other.second].map(span => Math.abs(span) || 1) as [
    number,
    number,
  ]
  const apart = (a: FrontPlace, b: FrontPlace): number =>
    Math.hypot((a.first - b.first) / spans[0], (a.second - b.second) / spans[1])
  let places: FrontPlace[] = apart(best, other) > SAME ? [best, other] : [best]
  const closed = new Set<FrontPlace>()
  for (let tries = 0; places.length < count && tries < TRIES * count; tries++) {
    const at = widest(places, closed, apart)
    if (at === -1) break
    const [a, b] = [places[at]!, places[at + 1]!]
    // Half way nothing may lie between but settings nearer to a: the next one after it tells.
    const half = solve([first, second], [bound(problem, second, (a.second + b.second) / 2)])
    const isNew = (place: FrontPlace | null): place is FrontPlace =>
      place !== null && apart(place, a) > SAME && apart(place, b) > SAME
    const found = isNew(half)
      ? half
      : solve([first, second], [bound(problem, second, a.second + 1e-5 * (b.second - a.second))])
    if (!isNew(found)) closed.add(a)
    else places = undominated([...places.slice(0, at + 1), found, ...places.slice(at + 1)], first, second)
  }
  return { places, knee: kneeOf(places, spans), work }
}

function figure(problem: SearchProblem, { row }: Direct, rows: Float64Array): number {
  const of = problem.rows[row]!.figure
  return of ? of(rows[row]!) : rows[row]!
}

/** The gap between neighbours to look into next, −1 for none. */
function widest(
  places: readonly FrontPlace[],
  closed: ReadonlySet<FrontPlace>,
  apart: (a: FrontPlace, b: FrontPlace) => number,
): number {
  let most = SAME
  let at = -1
  for (let k = 0; k + 1 < places.length; k++) {
    if (closed.has(places[k]!)) continue
    const gap = apart(places[k]!, places[k + 1]!)
    if (gap > most) {
      most = gap
      at = k
    }
  }
  return at
}

/** The second aim held at least as good as a figure; the row's own limit by halving, as its figure rises with it. */
function bound(problem: SearchProblem, { row, sense }: Direct, limit: number): SearchTarget {
  const own = rowLimit(problem.rows[row]!.figure, limit)
  const open = { level: 'must', rows: [row], scale: Math.abs(limit) || 1 } as const
  const [low, high] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY]
  return sense === 'least'
    ? { ...open, kind: 'at most', low, high: limit, rowLow: low, rowHigh: own }
    : { ...open, kind: 'at least', low: limit, high, rowLow: own, rowHigh: high }
}

function rowLimit(of: ((s: number) => number) | null, limit: number): number {
  if (!of) return limit
  let [low, high] = [-1, 1]
  while (of(high) < limit && high < 1e300) high *= 2
  while (of(low) > limit && low > -1e300) low *= 2
  for (let round = 0; round < 200 && low < high; round++) {
    const middle = low + (high - low) / 2
    if (middle === low || middle === high) break
    if (of(middle) < limit) low = middle
    else high = middle
  }
  return high
}

/** Places in order along the front, without those that another beats in both aims. */
function undominated(places: readonly FrontPlace[], first: Direct, second: Direct): FrontPlace[] {
  const better = (aim: Direct, a: number, b: number): boolean => (aim.sense === 'least' ? a < b : a > b)
  const kept = places.filter(
    place =>
      !places.some(
        other =>
          other !== place &&
          !better(first, place.first, other.first) &&
          !better(second, place.second, other.second) &&
          (better(first, other.first, place.first) || better(second, other.second, place.second)),
      ),
  )
  return kept.sort((a, b) => (first.sense === 'least' ? a.first - b.first : b.first - a.first))
}

/** The place farthest from the straight line between the two ends. */
function kneeOf(places: readonly FrontPlace[], [width, height]: readonly [number, number]): number {
  const [a, b] = [places[0]!, places.at(-1)!]
  let most = 1e-3
  let knee = -1
  places.forEach(({ first, second }, k) => {
    const x = (first - a.first) / width
    const y = (second - a.second) / height
    const far = Math.abs(x * ((b.second - a.second) / height) - y * ((b.first - a.first) / width)) / Math.SQRT2
    if (far > most) {
      most = far
      knee = k
    }
  })
  return knee
}
