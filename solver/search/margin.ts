import { MET, MET_EQUAL } from '../model/met.ts'
import {
  AT_LEAST,
  AT_MOST,
  BEYOND,
  COULD,
  EQUAL,
  EQUAL_WITHIN,
  type Frame,
  type FrameTarget,
  MUST,
  SHOULD,
} from './frame.ts'

/** How far below zero the margin of a target that is met may lie. */
export function allowance(kind: number): number {
  return kind === EQUAL ? MET_EQUAL : MET
}

/** The margin of a target whose figure may lie anywhere from `low` to `high`: the best it can be. NaN where it has no value. */
export function marginOf(target: FrameTarget, low: number, high: number): number {
  if (target.kind === AT_MOST) return (target.high - low) / target.scale
  if (target.kind === AT_LEAST) return (high - target.low) / target.scale
  if (target.kind === EQUAL) return -Math.max(0, low - target.high, target.low - high) / target.scale
  const x = nearest(target, low, high)
  return Math.min(x - target.low, target.high - x) / target.scale
}

/** The point of low … high nearest to the middle of a band. */
function nearest(target: FrameTarget, low: number, high: number): number {
  const middle = (target.low + target.high) / 2
  return middle < low ? low : middle > high ? high : low <= high ? middle : Number.NaN
}

/** What a should or could adds to its level's shortfall: `equal to X ± T` the square of (x − X)/T, others what they are short. */
export function shortfallOf(target: FrameTarget, margin: number, low: number, high: number): number {
  if (Number.isNaN(margin)) return BEYOND
  if (target.kind !== EQUAL_WITHIN) return Math.min(BEYOND, Math.max(0, -margin))
  const off = (nearest(target, low, high) - (target.low + target.high) / 2) / target.scale
  return Math.min(BEYOND, off * off)
}

/** Where the largest of some rows lies, given the least and the most of each; NaN where one has no value. */
export function largest(rows: readonly number[], figures: Float64Array): number {
  let most = figures[rows[0]!]!
  for (let i = 1; i < rows.length; i++) {
    const figure = figures[rows[i]!]!
    if (!(figure <= most)) most = Number.isNaN(most) ? most : figure
  }
  return most
}

/**
 * The one judge of the search: fills the key of a point from the least and the most that each row's figure may be (the same
 * array twice for a sample), each level at its best. Smaller is better, place after place: the largest violation of the musts,
 * the shortfall of the shoulds, of the coulds, the aims in order, margins rising (as −margin); the ties are left to the caller.
 */
export function judge(frame: Frame, low: Float64Array, high: Float64Array, key: Float64Array): void {
  let violation = 0
  let should = 0
  let could = 0
  let count = 0
  const { targets, marginCount } = frame
  for (let t = 0; t < targets.length; t++) {
    const target = targets[t]!
    const { rows, level } = target
    const least = rows.length === 1 ? low[rows[0]!]! : largest(rows, low)
    const most = rows.length === 1 ? high[rows[0]!]! : largest(rows, high)
    const margin = marginOf(target, least, most)
    if (level === MUST) {
      if (!(margin >= -allowance(target.kind)))
        violation = Math.max(violation, Number.isNaN(margin) ? BEYOND : Math.min(BEYOND, -margin))
    } else if (level === SHOULD) should += shortfallOf(target, margin, least, most)
    else could += shortfallOf(target, margin, least, most)
    if (level !== COULD) sorted[count++] = Number.isNaN(margin) ? BEYOND : Math.min(BEYOND, Math.max(-BEYOND, -margin))
  }
  key[0] = violation
  key[1] = should
  key[2] = could
  for (const part of frame.parts) {
    if (part.kind === 'aim') {
      const value = part.sign > 0 ? low[part.row]! : -high[part.row]!
      key[part.at] = Number.isNaN(value) ? Number.POSITIVE_INFINITY : value
    } else if (part.kind === 'margins') {
      if (count > 1) fall(count)
      for (let i = 0; i < marginCount; i++) key[part.at + i] = sorted[i]!
    }
  }
}

let sorted = new Float64Array(64)

/** Room for the margins of a frame. */
export function makeRoom(frame: Frame): void {
  if (sorted.length < frame.marginCount) sorted = new Float64Array(2 * frame.marginCount)
}

/** As many are put in order faster by halves. */
const MANY = 64

/** Puts the first of the margins' negatives in falling order. */
function fall(count: number): void {
  if (count > MANY) {
    sorted.subarray(0, count).sort().reverse()
    return
  }
  for (let i = 1; i < count; i++) {
    const value = sorted[i]!
    let j = i - 1
    while (j >= 0 && sorted[j]! < value) {
      sorted[j + 1] = sorted[j]!
      j--
    }
    sorted[j + 1] = value
  }
}
