import { wellDown, wellUp } from '../interval/index.ts'
import { MET, MET_EQUAL } from '../model/met.ts'
import type { Findings } from './backward.ts'
import type { Intervals } from './forward.ts'
import { slotsOf, type TargetSlots } from './program.ts'
import type { Slot } from './tape.ts'

/** Whether a target's margin is measured by a told scale somewhere in the intervals: its limit may be zero. */
export function needsScale({ kind, low, high }: TargetSlots, box: Intervals): boolean {
  if (kind === 'within' || kind === 'equal within') return false
  const limit = kind === 'at most' ? high : low
  return box.low[limit]! <= 0 && box.high[limit]! >= 0
}

/** greater ≥ lesser − slack, for two slots. */
export interface Relation {
  readonly greater: Slot
  readonly lesser: Slot
  readonly slack: number
}

/**
 * What must hold for a target to be met, the judgement's own tolerance included. `scale` is the size of one unit of margin where its
 * limit is zero; where the limit only may be, a unit of 1 is allowed for too.
 */
export function limitsFor(target: TargetSlots, scale: number, { low, high }: Intervals): Relation[] {
  const { kind, value } = target
  const above = (slack: number): Relation => ({ greater: value, lesser: target.low, slack })
  const below = (slack: number): Relation => ({ greater: target.high, lesser: value, slack })
  if (kind === 'within') {
    const slack = MET * Math.max(0, high[target.high]! - low[target.low]!)
    return [above(slack), below(slack)]
  }
  if (kind === 'equal within') {
    const half = wellUp(high[target.tolerance]! * (1 + MET))
    return [above(half), below(half)]
  }
  const limit = target.low === -1 ? target.high : target.low
  const zero = low[limit]! <= 0 && high[limit]! >= 0
  const most = Math.max(Math.abs(low[limit]!), Math.abs(high[limit]!))
  const slack =
    (kind === 'equal to' ? MET_EQUAL : MET) * Math.max(most, zero ? (Number.isNaN(scale) ? 1 : Math.max(1, scale)) : 0)
  if (kind === 'equal to') return [above(slack), below(slack)]
  return [kind === 'at least' ? above(slack) : below(slack)]
}

/** Narrows a target's value and limits to what lets it be met. */
export function impose(target: TargetSlots, scale: number, box: Intervals, found: Findings): void {
  for (const slot of slotsOf(target)) found.need(slot)
  for (const { greater, lesser, slack } of limitsFor(target, scale, box)) {
    found.narrow(greater, wellDown(box.low[lesser]! - slack), Number.POSITIVE_INFINITY)
    found.narrow(lesser, Number.NEGATIVE_INFINITY, wellUp(box.high[greater]! + slack))
  }
}
