import { type MapRequest, type TradeMap, traceMap } from './map/map.ts'
import { type MapMemory, remembering } from './map/memory.ts'
import { othersSolved } from './map/others.ts'
import type { Range } from './model/model.ts'
import type { State } from './network/index.ts'
import { pose } from './pose.ts'

/**
 * The trade map of an open sheet with two free levers. `ranges` belong to `state.free`, `widths` are the scales of zero limits.
 * What `memory` holds is not flown again: it must be of this sheet, or of one that differs in limits alone.
 */
export function mapOf(
  state: State,
  ranges: readonly Range[],
  widths: readonly number[],
  request: MapRequest,
  memory: MapMemory | null = null,
): TradeMap {
  const low = Float64Array.from(ranges, range => range.from)
  const high = Float64Array.from(ranges, range => range.to)
  const problem = pose(state, ranges, low, high, widths)
  return traceMap(memory ? remembering(problem, memory) : problem, request)
}

/**
 * The trade map of two levers of an open sheet (places in `program.levers`) with all other free levers solved anew at each place.
 * Only its regions and the settings inside are meaningful: with the others moving no limit has a line of its own.
 */
export function mapSolving(
  state: State,
  ranges: readonly Range[],
  widths: readonly number[],
  axes: readonly [number, number],
  cells: number,
): TradeMap {
  const ids = axes.map(lever => state.program.levers[lever]!)
  const own = axes.map(lever => ranges[[...state.free].indexOf(lever)]!) as [Range, Range]
  const others = [...state.free].flatMap((lever, lane) => (axes.includes(lever) ? [] : [ranges[lane]!]))
  const low = Float64Array.from(others, range => range.from)
  const high = Float64Array.from(others, range => range.to)
  const inner = (a: number, b: number) => {
    state.pin(ids[0]!, a)
    state.pin(ids[1]!, b)
    return pose(state, others, low, high, widths)
  }
  const map = traceMap(othersSolved(own, inner), { across: 0, cells, aims: 0, sloped: false })
  for (const id of ids) state.pin(id, null)
  return { ...map, lines: [], aim: [] }
}
