import type { Limits } from './pose.ts'
import { AT_LEAST, AT_MOST, EQUAL, EQUAL_WITHIN, MUST, WITHIN } from './search/frame.ts'
import { allowance, marginOf as searchMargin } from './search/margin.ts'
import type { SearchTarget } from './search/problem.ts'

const KINDS = {
  'at least': AT_LEAST,
  'at most': AT_MOST,
  within: WITHIN,
  'equal to': EQUAL,
  'equal within': EQUAL_WITHIN,
}

/** The margin of a target at a value of its figure, by the search's own judge: slack over the size of the limit. NaN where it has no value. */
export function marginOf(kind: SearchTarget['kind'], { low, high, scale }: Limits, value: number): number {
  const margin = searchMargin({ level: MUST, kind: KINDS[kind], rows: [], low, high, scale }, value, value)
  // Infinite slack against an infinite size, or a band without width: nothing can be said.
  return scale > 0 ? margin : Number.NaN
}

/** Whether a margin counts as met. */
export function metMargin(kind: SearchTarget['kind'], margin: number): boolean {
  return margin >= -allowance(KINDS[kind])
}
