import { wellDown, wellUp } from '../interval/index.ts'
import type { Findings } from './backward.ts'
import type { Intervals } from './forward.ts'
import type { TargetSlots } from './program.ts'

/** A target is met at a margin no further below zero than this; `equal to` without a tolerance has a wider one. */
export const MET = 1e-9
export const MET_EQUAL = 1e-6

/** Whether a target's margin is measured by a told scale somewhere in the intervals: its limit may be zero. */
export function needsScale({ kind, low, high }: TargetSlots, box: Intervals): boolean {
  if (kind === 'within' || kind === 'equal within') return false
  const limit = kind === 'at most' ? high : low
  return box.low[limit]! <= 0 && box.high[limit]! >= 0
}

/**
 * Narrows a target's value and limits to what lets it be met, the judgement's own tolerance included.
 * `scale` is the size of one unit of margin where its limit is zero.
 */
export function impose(target: TargetSlots, scale: number, { low, high }: Intervals, found: Findings): void {
  const { kind, value } = target
  for (const slot of [value, target.low, target.high, target.tolerance]) if (slot !== -1) found.need(slot)
  const most = (slot: number) => Math.max(Math.abs(low[slot]!), Math.abs(high[slot]!))
  if (kind === 'within') {
    const slack = MET * Math.max(0, high[target.high]! - low[target.low]!)
    atLeast(value, target.low, slack, low, high, found)
    atMost(value, target.high, slack, low, high, found)
  } else if (kind === 'equal within') {
    const half = high[target.tolerance]! * (1 + MET)
    atLeast(value, target.low, half, low, high, found)
    atMost(value, target.high, half, low, high, found)
  } else {
    const limit = target.low === -1 ? target.high : target.low
    const zero = low[limit]! <= 0 && high[limit]! >= 0
    const slack = (kind === 'equal to' ? MET_EQUAL : MET) * Math.max(most(limit), zero ? Math.max(1, scale) : 0)
    if (kind !== 'at most') atLeast(value, limit, slack, low, high, found)
    if (kind !== 'at least') atMost(value, limit, slack, low, high, found)
  }
}

/** value ≥ limit − slack, both ways. */
function atLeast(
  value: number,
  limit: number,
  slack: number,
  low: Float64Array,
  high: Float64Array,
  found: Findings,
): void {
  found.narrow(value, wellDown(low[limit]! - slack), Number.POSITIVE_INFINITY)
  found.narrow(limit, Number.NEGATIVE_INFINITY, wellUp(high[value]! + slack))
}

/** value ≤ limit + slack, both ways. */
function atMost(
  value: number,
  limit: number,
  slack: number,
  low: Float64Array,
  high: Float64Array,
  found: Findings,
): void {
  found.narrow(value, Number.NEGATIVE_INFINITY, wellUp(high[limit]! + slack))
  found.narrow(limit, wellDown(low[value]! - slack), Number.POSITIVE_INFINITY)
}
