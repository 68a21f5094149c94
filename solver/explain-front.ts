import { type Front, frontOf } from './map/front.ts'
import type { Range } from './model/model.ts'
import { prove, type State } from './network/index.ts'
import { pose } from './pose.ts'

/** The front of the first two aims of an open sheet, about `count` places of it; null where it has no two aims, or no solution. */
export function frontAt(
  state: State,
  ranges: readonly Range[],
  widths: readonly number[],
  count: number,
): Front | null {
  const { low, high } = prove(state, ranges)
  return frontOf(pose(state, ranges, low, high, widths), count)
}
