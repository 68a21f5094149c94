import type { TargetAnswer } from '../answer.ts'
import { asNumber } from './number.ts'
import type { LimitKind } from './target-words.ts'

/** A stretch of the scale, in shares of its width from the left. */
export type Stretch = readonly [number, number]

/**
 * The margin scale of one target as positions, for every face to draw alike. Limit ticks stand at the same places in
 * every scale (at least: a quarter; at most: three quarters; within: both; equal to: the middle), so that they make a
 * lane down the page; distances between tick and mark are the margins themselves.
 */
export interface Scale {
  readonly ticks: readonly number[]
  /** Where one may not stand. */
  readonly forbidden: readonly Stretch[]
  /** The mark, held inside 0…1; null where there is no value. */
  readonly mark: number | null
  /** Whether the mark belongs further out than the scale is drawn. */
  readonly beyond: 'left' | 'right' | null
  /** From the mark to the nearest limit, where the target is met. */
  readonly room: Stretch | null
  /** From the limit to the mark, where it is short. */
  readonly overshoot: Stretch | null
}

const LOW = 0.25
const MIDDLE = 0.5
const HIGH = 0.75
/** Zero to L fills the scale up to the tick of an `at most L`; the others take the same measure from their own tick. */
const MEASURE = 0.75

export function scaleOf(target: TargetAnswer, kind: LimitKind): Scale {
  const ticks = kind === 'within' ? [LOW, HIGH] : kind === 'equal to' ? [MIDDLE] : kind === 'at least' ? [LOW] : [HIGH]
  const forbidden = forbiddenOf(target, kind)
  const place = placeOf(target, kind)
  if (place === null) return { ticks, forbidden, mark: null, beyond: null, room: null, overshoot: null }
  const beyond = place < 0 ? 'left' : place > 1 ? 'right' : null
  const limit = nearest(
    forbidden.flat().filter(each => each !== 0 && each !== 1),
    place,
  )
  // What is met by a hair's tolerance stands on its limit, not past it.
  const past = forbidden.some(([from, to]) => (from === 0 ? place < to : place > from))
  const mark = target.met && past ? limit : Math.min(1, Math.max(0, place))
  const between: Stretch = [Math.min(limit, mark), Math.max(limit, mark)]
  return { ticks, forbidden, mark, beyond, room: target.met ? between : null, overshoot: target.met ? null : between }
}

function forbiddenOf(target: TargetAnswer, kind: LimitKind): readonly Stretch[] {
  if (kind === 'at least') return [[0, LOW]]
  if (kind === 'at most') return [[HIGH, 1]]
  if (kind === 'within' || hasTolerance(target))
    return [
      [0, LOW],
      [HIGH, 1],
    ]
  return [
    [0, MIDDLE],
    [MIDDLE, 1],
  ]
}

function hasTolerance(target: TargetAnswer): boolean {
  return target.limit[0] !== target.limit[1]
}

/** Where the value stands, not held inside the scale; null where there is none. */
function placeOf(target: TargetAnswer, kind: LimitKind): number | null {
  const value = asNumber(target.si)
  if (Number.isNaN(value)) return null
  const [low, high] = [asNumber(target.limit[0]), asNumber(target.limit[1])]
  if (kind === 'at least') return LOW + MEASURE * over(value - low, target.scale ?? Math.abs(low))
  if (kind === 'at most') return HIGH + MEASURE * over(value - high, target.scale ?? Math.abs(high))
  if (kind === 'within' || hasTolerance(target)) return LOW + (HIGH - LOW) * over(value - low, high - low)
  return MIDDLE + MEASURE * over(value - low, target.scale ?? Math.abs(low))
}

/** A quotient of a length and a size that is never no number: nothing over nothing is nothing. */
function over(distance: number, size: number): number {
  return distance === 0 ? 0 : distance / size
}

function nearest(places: readonly number[], mark: number): number {
  return places.reduce((best, each) => (Math.abs(each - mark) < Math.abs(best - mark) ? each : best))
}
