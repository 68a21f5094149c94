import type { Range } from '../model/model.ts'
import type { Intervals } from './forward.ts'
import type { State } from './state.ts'

/** Every slot at its value, levers over their ranges (free ones, in `state.free`'s order) or at their pins: what intervals are worked forward from. */
export function boxOver(state: State, ranges: readonly Range[]): Intervals {
  const { program, values, free } = state
  const box: Intervals = { low: values.slice(), high: values.slice() }
  program.leverSlots.forEach((slot, l) => {
    const range = ranges[free.indexOf(l)]
    box.low[slot] = range?.from ?? state.pinned(l)
    box.high[slot] = range?.to ?? state.pinned(l)
  })
  return box
}
