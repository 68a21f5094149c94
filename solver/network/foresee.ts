import { wellDown, wellUp } from '../interval/index.ts'
import type { Range } from '../model/model.ts'
import { definedSlots } from './defined.ts'
import type { Intervals, Known } from './forward.ts'
import { narrow } from './narrow.ts'
import { leversAt, needsFlight, type Program, slotsOf, type TargetSlots } from './program.ts'
import { type Proof, prove } from './prove.ts'
import { type State, start } from './state.ts'

/** What is proved of a target before any flight: met at every setting, at none, or neither is known. */
export type Verdict = 'always' | 'never' | 'open'

export interface Foresight {
  /** By target. Those that no lever reaches are `open`: one look at them says more. */
  readonly verdicts: readonly Verdict[]
  /** By slot, where each lies over the whole of the levers' ranges. */
  readonly slots: Intervals
  /** By target, the levers' box narrowed by it alone; null where that was not looked at. */
  readonly alone: readonly (Proof | null)[]
}

/** Targets times slots beyond this are not looked at one by one: only what the intervals over the whole ranges say is said. */
const MOST_LOOKS = 100_000

/**
 * Looks at each target by itself over the ranges of the free levers (in `state.free`'s order), on their steps. A verdict is proved:
 * a target without a value somewhere is not met there, and flown figures are known by their nodes' own bounds only.
 */
export function foresee(state: State, ranges: readonly Range[]): Foresight {
  const { program } = state
  const box = {
    low: Float64Array.from(ranges, range => range.from),
    high: Float64Array.from(ranges, range => range.to),
    settings: ranges.map(range => range.settings),
  }
  const slots = narrow(state, { ...box, musts: [] }).slots()
  const known: Known = { program, values: state.values, overrides: state.overrides }
  const sure = definedSlots(known, slots)
  const closely = program.targets.length * program.tape.length <= MOST_LOOKS
  const alone = program.targets.map((target, t) =>
    closely && reached(program, target) ? prove(state, ranges, [t]) : null,
  )
  const verdicts = program.targets.map((target, t): Verdict => {
    if (!reached(program, target)) return 'open'
    if (alone[t]?.contradiction) return 'never'
    if (!slotsOf(target).every(slot => sure[slot] === 1)) return 'open'
    return holds(target, slots) || (closely && cannotFail(state, ranges, target)) ? 'always' : 'open'
  })
  return { verdicts, slots, alone }
}

/** Whether a lever reaches a target. */
function reached(program: Program, target: TargetSlots): boolean {
  return slotsOf(target).some(slot => leversAt(program, slot).length > 0)
}

/** Whether the intervals of value and limits alone say that a target is met. */
function holds({ kind, value, low, high, tolerance }: TargetSlots, box: Intervals): boolean {
  const [least, most] = [box.low[value]!, box.high[value]!]
  switch (kind) {
    case 'at least':
      return least >= box.high[low]!
    case 'at most':
      return most <= box.low[high]!
    case 'within':
      return box.high[low]! < box.low[high]! && least >= box.high[low]! && most <= box.low[high]!
    case 'equal within': {
      const half = box.low[tolerance]!
      return half > 0 && least >= wellUp(box.high[low]! - half) && most <= wellDown(box.low[high]! + half)
    }
    case 'equal to':
      return false
  }
}

/** Whether each way of failing is proved impossible: the target turned round meets a contradiction. */
function cannotFail(state: State, ranges: readonly Range[], target: TargetSlots): boolean {
  const { kind, low, high } = target
  if (needsFlight(state.program, target.value) || kind === 'equal to' || kind === 'equal within') return false
  const under: TargetSlots = { ...target, kind: 'at most', low: -1, high: low }
  const over: TargetSlots = { ...target, kind: 'at least', low: high, high: -1 }
  const ways = kind === 'at least' ? [under] : kind === 'at most' ? [over] : [under, over]
  const turned = start({ ...state.program, targets: ways })
  turned.overrides.set(state.overrides)
  state.program.levers.forEach((id, l) => {
    if (!Number.isNaN(state.pinned(l))) turned.pin(id, state.pinned(l))
  })
  return ways.every((_, way) => prove(turned, ranges, [way]).contradiction !== null)
}
