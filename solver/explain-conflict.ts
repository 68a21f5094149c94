import { type End, type Explained, explain } from './conflict/explain.ts'
import type { Range } from './model/model.ts'
import { prove, type State } from './network/index.ts'
import { pose } from './pose.ts'
import type { SearchProblem, SearchResult } from './search/problem.ts'
import type { Watch } from './search/run.ts'

/**
 * Why the musts of an open sheet cannot all be met, after a search that ended in a conflict. `ranges` belong to `state.free`,
 * `widths` are the scales of zero limits by target; `beyond` gives a free lever's range past one end (null: there is none). `watch`: told how many flights were made
 * so far; false ends it with what is known by then.
 */
export function explainConflict(
  state: State,
  ranges: readonly Range[],
  widths: readonly number[],
  compromise: SearchResult,
  beyond: (lever: number, end: End) => Range | null,
  watch?: Watch,
): Explained {
  // What jumps, and whose numbers are sound, hangs on the ranges: each problem is posed over its own.
  const over = (all: readonly Range[]): SearchProblem => {
    const [low, high] = [Float64Array.from(all, range => range.from), Float64Array.from(all, range => range.to)]
    return pose(state, all, low, high, widths)
  }
  const wider = (lever: number, end: End): SearchProblem | null => {
    const more = beyond(lever, end)
    return more && over(ranges.map((range, l) => (l === lever ? more : range)))
  }
  const narrow = (musts: readonly number[], within: readonly Range[]) => {
    const proof = prove(state, within, musts)
    return proof.contradiction ? null : { low: proof.low, high: proof.high }
  }
  return explain({ problem: over(ranges), narrow, beyond: wider }, compromise, watch)
}
