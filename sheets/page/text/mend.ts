import type { OutlineTarget } from '../../outline.ts'
import type { Edit } from './edit.ts'

/** The numbers of a limit, as `tidy` prints them. */
function endsOf(text: string): readonly string[] {
  const limit = /(?:at least|at most|within|equal to) (.*)$/.exec(text)?.[1] ?? ''
  return limit.split(/ ± | to /)
}

/** What a mend changes in the text: only those ends of the limit that move. */
export function mendEdits(target: OutlineTarget, mended: string): readonly Edit[] {
  const [before, after] = [endsOf(target.text), endsOf(mended)]
  return target.limits.flatMap(({ value }, end) =>
    after[end] !== undefined && after[end] !== before[end] ? [{ at: value.at, with: after[end]! }] : [],
  )
}
