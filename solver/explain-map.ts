import { type MapRequest, type TradeMap, traceMap } from './map/map.ts'
import type { Range } from './model/model.ts'
import type { State } from './network/index.ts'
import { pose } from './pose.ts'

/** The trade map of an open sheet with two free levers. `ranges` belong to `state.free`, `widths` are the scales of zero limits. */
export function mapOf(
  state: State,
  ranges: readonly Range[],
  widths: readonly number[],
  request: MapRequest,
): TradeMap {
  const low = Float64Array.from(ranges, range => range.from)
  const high = Float64Array.from(ranges, range => range.to)
  return traceMap(pose(state, ranges, low, high, widths), request)
}
