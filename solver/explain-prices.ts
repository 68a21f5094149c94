import type { Range } from './model/model.ts'
import { prove, type State } from './network/index.ts'
import { pose } from './pose.ts'
import { type Looked, nextLimit } from './price/next-limit.ts'
import { type Prices, pricesOf } from './price/price.ts'
import type { Flown } from './search/problem.ts'

/** The prices of the limits of an open sheet with its steps lifted, near settings `x` that solve it. `ranges` belong to `state.free`. `flown`: flights made before, by which the search is scaled. */
export function priceLimits(
  state: State,
  ranges: readonly Range[],
  widths: readonly number[],
  x: Float64Array,
  flown: readonly Flown[],
): Prices {
  const lifted = ranges.map((range): Range => ({ ...range, settings: null, inward: value => value }))
  const { low, high } = prove(state, lifted)
  return pricesOf(pose(state, lifted, low, high, widths), x, flown)
}

/** The nearest limit of a target at which settings with a better first aim win, with the steps as they are. `flown`: flights made before. Its own are not added: no look may hang on which others were asked for. */
export function nextLimitOf(
  state: State,
  ranges: readonly Range[],
  widths: readonly number[],
  x: Float64Array,
  target: number,
  flown: readonly Flown[],
): Looked {
  const low = Float64Array.from(ranges, range => range.from)
  const high = Float64Array.from(ranges, range => range.to)
  return nextLimit(pose(state, ranges, low, high, widths), x, target, flown)
}
