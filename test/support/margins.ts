import type { Narrowed, State } from '../../solver/network/index.ts'

/**
 * The margin of target t after an evaluation, written down once more from the sheet's rules: slack over the size of the limit, over half
 * the width of a band; over the told scale where the limit is zero. NaN where something has no value.
 */
export function marginOf(state: State, t: number, scales: Narrowed['scales']): number {
  const { values, program } = state
  const { kind, value, low, high, tolerance } = program.targets[t]!
  const x = values[value]!
  const [from, to, half] = [values[low]!, values[high]!, values[tolerance]!]
  const size = (limit: number) => (limit === 0 ? scales[t]! : Math.abs(limit))
  switch (kind) {
    case 'at least':
      return (x - from) / size(from)
    case 'at most':
      return (to - x) / size(to)
    case 'within':
      return Math.min(x - from, to - x) / ((to - from) / 2)
    case 'equal within':
      return (half - Math.abs(x - from)) / half
    default:
      return -Math.abs(x - from) / size(from)
  }
}

/** Whether all the musts given are met after an evaluation. */
export function meetsAll(state: State, musts: readonly number[], scales: Narrowed['scales']): boolean {
  return musts.every(t => marginOf(state, t, scales) >= (state.program.targets[t]!.kind === 'equal to' ? -1e-6 : -1e-9))
}
