import type { Levers } from './levers.ts'
import type { Row, Sample, SearchProblem, SearchTarget } from './problem.ts'

export const MUST = 0
export const SHOULD = 1
export const COULD = 2
const LEVELS = { must: MUST, should: SHOULD, could: COULD }

export const AT_LEAST = 0
export const AT_MOST = 1
export const WITHIN = 2
export const EQUAL = 3
export const EQUAL_WITHIN = 4
const KINDS = {
  'at least': AT_LEAST,
  'at most': AT_MOST,
  within: WITHIN,
  'equal to': EQUAL,
  'equal within': EQUAL_WITHIN,
}

/** A margin that cannot be counted (no value, infinite) counts as this many units. */
export const BEYOND = 1e9

/** A target in codes, its rows in the frame's order. */
export interface FrameTarget {
  readonly level: number
  readonly kind: number
  readonly rows: readonly number[]
  readonly low: number
  readonly high: number
  readonly scale: number
}

/** One side of a target over one of its rows: margin ≈ side × (y of the limit − y) / unit. A row without a target has −1. */
export interface Bound {
  readonly target: number
  readonly row: number
  readonly level: number
  /** 1: from above, −1: from below. */
  readonly side: number
  /** The limit in y, and what a unit of margin is there. */
  readonly limit: number
  readonly unit: number
  /** Units of margin forgiven. */
  readonly shift: number
}

/** A stretch of the key that targets are compared by; see `order.ts`. */
export type Part =
  | { readonly kind: 'violation' | 'should' | 'could' | 'margins'; readonly at: number }
  | {
      readonly kind: 'aim'
      readonly at: number
      readonly row: number
      readonly sign: number
      /** The one lever that it hangs on by algebra; −1 where there are more, or none. */
      readonly lever: number
    }

/**
 * A problem in the search's own numbers. Rows and targets are put in an order that hangs on what they are worth, not on how
 * they were written, so that a sheet with its lines in another order is answered alike.
 * A flown row is modelled as y = asinh(s / half), half of its largest limit: that keeps far-off values from deafening near ones.
 */
export interface Frame {
  readonly problem: SearchProblem
  readonly levers: Levers
  readonly rows: number
  /** Place of each row in the problem. */
  readonly rowAt: Int32Array
  readonly exact: Uint8Array
  readonly allExact: boolean
  /** Rows that had a value at some sample: the others have none anywhere, as far as is known. */
  readonly live: Uint8Array
  readonly half: Float64Array
  readonly figure: readonly Row['figure'][]
  readonly targets: readonly FrameTarget[]
  readonly bounds: readonly Bound[]
  readonly parts: readonly Part[]
  /** Numbers in a key, the first of its ties, and musts and shoulds whose margins are counted for roomiest. */
  readonly keySize: number
  readonly tiesAt: number
  readonly marginCount: number
  /** For the places of aims the smallest size that their ties are measured by; 0 for the others, which have size 1. */
  readonly aimFloor: Float64Array
}

/** Frames a problem by some samples of it (at the same points, whatever the order of its lines). */
export function frameOf(problem: SearchProblem, levers: Levers, samples: readonly Sample[]): Frame {
  const rowAt = rowOrder(problem, levers, samples)
  const place = new Int32Array(problem.rows.length)
  rowAt.forEach((row, at) => {
    place[row] = at
  })
  const targets = problem.targets.map(target => targetOf(target, place)).sort(byContent)
  const limits = new Map(problem.targets.map(target => [target, target.rows.map(row => place[row]!)]))
  const sizes = Float64Array.from(rowAt, row => sizeOf(row, samples))
  const exact = Uint8Array.from(rowAt, row => (problem.rows[row]!.exact ? 1 : 0))
  const half = Float64Array.from(rowAt, (row, at) => (exact[at] ? 0 : halfOf(row, problem.targets, sizes[at]!)))
  const rowLimits = problem.targets.map(target => ({
    key: targetOf(target, place),
    from: target,
    rows: limits.get(target)!,
  }))
  rowLimits.sort((a, b) => byContent(a.key, b.key))
  const figure = Array.from(rowAt, row => problem.rows[row]!.figure)
  const bounds = rowLimits.flatMap(({ from, rows, key }, target) =>
    rows.flatMap(row => boundsOf(from, key, target, row, half[row]!, figure[row]!)),
  )
  const marginCount = targets.filter(target => target.level !== COULD).length
  const layout = partsOf(problem, place, marginCount)
  const keySize = layout.size + 2 * levers.n
  const aimFloor = new Float64Array(keySize)
  for (const part of layout.parts)
    if (part.kind === 'aim') aimFloor[part.at] = Math.max(1e-6 * sizes[part.row]!, 1e-300)
  return {
    problem,
    levers,
    rows: rowAt.length,
    rowAt,
    exact,
    live: Uint8Array.from(rowAt, row => (samples.some(it => Number.isFinite(it.rows[row]!)) ? 1 : 0)),
    allExact: exact.every(it => it === 1),
    half,
    figure,
    targets,
    bounds,
    parts: layout.parts,
    keySize,
    tiesAt: layout.size,
    marginCount,
    aimFloor,
  }
}

/** Rows by what they are worth at the samples: values first, then slopes; rows alike in all that stay as they are. */
function rowOrder(problem: SearchProblem, { n }: Levers, samples: readonly Sample[]): Int32Array {
  const compare = (a: number, b: number): number => {
    const exact = Number(problem.rows[b]!.exact) - Number(problem.rows[a]!.exact)
    if (exact !== 0) return exact
    for (const { rows, slopes } of samples) {
      const value = order(rows[a]!, rows[b]!)
      if (value !== 0) return value
      for (let l = 0; l < n; l++) {
        const slope = order(slopes[a * n + l]!, slopes[b * n + l]!)
        if (slope !== 0) return slope
      }
    }
    return a - b
  }
  return Int32Array.from(problem.rows.keys()).sort(compare)
}

/** −1, 0 or 1; NaN comes last. */
function order(a: number, b: number): number {
  if (a < b) return -1
  if (a > b) return 1
  return Number(Number.isNaN(a)) - Number(Number.isNaN(b))
}

function targetOf(target: SearchTarget, place: Int32Array): FrameTarget {
  const { level, kind, low, high, scale } = target
  const rows = target.rows.map(row => place[row]!).sort((a, b) => a - b)
  return { level: LEVELS[level], kind: KINDS[kind], rows, low, high, scale }
}

function byContent(a: FrameTarget, b: FrameTarget): number {
  const numbers = (it: FrameTarget): number[] => [
    it.level,
    it.kind,
    it.low,
    it.high,
    it.scale,
    it.rows.length,
    ...it.rows,
  ]
  const [one, two] = [numbers(a), numbers(b)]
  for (let i = 0; i < one.length; i++) {
    const by = order(one[i]!, two[i] ?? 0)
    if (by !== 0) return by
  }
  return 0
}

/** The size of a row's values: the largest seen. */
function sizeOf(row: number, samples: readonly Sample[]): number {
  let largest = 0
  for (const { rows } of samples) if (Number.isFinite(rows[row]!)) largest = Math.max(largest, Math.abs(rows[row]!))
  return largest
}

function halfOf(row: number, targets: readonly SearchTarget[], size: number): number {
  let largest = 0
  for (const target of targets) {
    if (!target.rows.includes(row)) continue
    for (const limit of [target.rowLow, target.rowHigh])
      if (Number.isFinite(limit)) largest = Math.max(largest, Math.abs(limit))
  }
  return (largest || size || 1) / 2
}

function boundsOf(
  from: SearchTarget,
  target: FrameTarget,
  index: number,
  row: number,
  half: number,
  figure: Row['figure'],
): Bound[] {
  const bounds: Bound[] = []
  const add = (side: number, limit: number): void => {
    const y = half > 0 ? Math.asinh(limit / half) : limit
    const slope = half > 0 ? 1 / Math.hypot(limit, half) : 1
    const unit = (target.scale * slope) / figureSlope(figure, limit)
    bounds.push({ target: index, row, level: target.level, side, limit: y, unit, shift: 0 })
  }
  if (target.kind !== AT_LEAST && Number.isFinite(from.rowHigh)) add(1, from.rowHigh)
  if (target.kind !== AT_MOST && Number.isFinite(from.rowLow)) add(-1, from.rowLow)
  return bounds
}

/** d figure / d s, by differences. */
export function figureSlope(figure: Row['figure'], s: number): number {
  if (figure === null) return 1
  const move = 1e-6 * Math.abs(s) || 1e-6
  const slope = (figure(s + move) - figure(s - move)) / (2 * move)
  return Number.isFinite(slope) && slope > 0 ? slope : 1
}

/** The one lever that an exact row hangs on; −1 where there is not just one, or nobody knows. */
function loneLever({ exact, reach }: Row): number {
  if (!exact || !reach) return -1
  const lone = reach.indexOf(true)
  return reach.includes(true, lone + 1) ? -1 : lone
}

function partsOf(problem: SearchProblem, place: Int32Array, marginCount: number): { parts: Part[]; size: number } {
  const parts: Part[] = [
    { kind: 'violation', at: 0 },
    { kind: 'should', at: 1 },
    { kind: 'could', at: 2 },
  ]
  let size = 3
  let roomiest = false
  for (const aim of problem.aims) {
    if (aim.sense !== 'roomiest')
      parts.push({
        kind: 'aim',
        at: size++,
        row: place[aim.row]!,
        sign: aim.sense === 'least' ? 1 : -1,
        lever: loneLever(problem.rows[aim.row]!),
      })
    else if (!roomiest) {
      parts.push({ kind: 'margins', at: size })
      size += marginCount
      roomiest = true
    }
  }
  return { parts, size }
}
