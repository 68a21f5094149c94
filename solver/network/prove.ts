import type { Range } from '../model/model.ts'
import { narrow } from './narrow.ts'
import type { State } from './state.ts'

/** What can be said of a sheet before any flight. */
export interface Proof {
  /** The box of the free levers: nothing outside it meets the musts. */
  readonly low: Float64Array
  readonly high: Float64Array
  /** By target: the size of one unit of margin where its limit may be zero, else NaN. */
  readonly widths: Float64Array
  /** Musts that cannot be met together, by intervals alone. */
  readonly contradiction: readonly number[] | null
}

/** Narrows the free levers' ranges (in `state.free`'s order) by all musts, on their steps. */
export function prove(state: State, ranges: readonly Range[]): Proof {
  const narrowed = narrow(state, {
    low: Float64Array.from(ranges, range => range.from),
    high: Float64Array.from(ranges, range => range.to),
    settings: ranges.map(range => range.settings),
  })
  return {
    low: narrowed.low,
    high: narrowed.high,
    widths: narrowed.scales,
    contradiction: narrowed.empty?.targets ?? null,
  }
}
