import type { TallyState } from './tally.ts'

/** The varied column that tells most of whether a variant is solved (or, where all are, meets every target), and how much of the doubt it settles. */
export interface Deciding {
  readonly place: number
  readonly of: 'solved' | 'met'
  readonly share: number
}

/** By mutual information (Shannon 1948) of a column's value and being solved; null where nothing is open or no column tells. */
export function decidingColumn(tally: TallyState): Deciding | null {
  const { outcomes, values, met } = tally
  const total = outcomes.solved + outcomes.conflict + outcomes.unsure + outcomes.faulty
  const of = outcomes.solved < total ? 'solved' : 'met'
  const open = uncertainty(of === 'solved' ? outcomes.solved : met, total)
  if (!(open > 0)) return null
  let best: Deciding | null = null
  for (const [place, table] of Object.entries(values)) {
    if (table === null) continue
    const left = Object.values(table).reduce(
      (sum, [good, solved, all]) => sum + (all / total) * uncertainty(of === 'solved' ? solved : good, all),
      0,
    )
    const share = 1 - left / open
    if (share > (best?.share ?? LEAST_TOLD)) best = { place: Number(place), of, share }
  }
  return best
}

/** A column that settles less of the doubt than this decides nothing. */
const LEAST_TOLD = 0.01

/** Bits of uncertainty in a yes or no that is yes so often. */
function uncertainty(yes: number, all: number): number {
  const share = yes / all
  if (!(share > 0 && share < 1)) return 0
  return -share * Math.log2(share) - (1 - share) * Math.log2(1 - share)
}
