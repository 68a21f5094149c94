import { groupsOf } from './bands.ts'
import type { TallyState } from './tally.ts'

/** The varied column that tells most of whether a variant is solved (or, where all are, meets every target), and how much of the doubt it settles. */
export interface Deciding {
  readonly place: number
  readonly of: 'solved' | 'met'
  readonly share: number
}

/**
 * By mutual information (Shannon 1948) of a column's value, or the band it is told in, and being solved; null where nothing is open or no column
 * tells. Values that few variants share seem to tell more than they do: what they would tell by chance alone is taken off (Miller 1955, from memory).
 */
export function decidingColumn(tally: TallyState): Deciding | null {
  const { outcomes, values, met } = tally
  const total = outcomes.solved + outcomes.conflict + outcomes.unsure + outcomes.faulty
  const of = outcomes.solved < total ? 'solved' : 'met'
  const open = uncertainty(of === 'solved' ? outcomes.solved : met, total)
  if (!(open > 0)) return null
  let best: Deciding | null = null
  const columns = Object.entries(values)
  for (const [place, table] of columns) {
    if (table === null) continue
    const groups = groupsOf(table, of)
    // A name for every variant tells which it is, and beside others that vary nothing of why.
    if (columns.length > 1 && groups.every(({ from, all }) => all === 1 && !Number.isFinite(Number(from)))) continue
    const left = groups.reduce((sum, { good, all }) => sum + (all / total) * uncertainty(good, all), 0)
    const chance = (groups.length - 1) / (2 * total * Math.LN2)
    const share = 1 - (left + chance) / open
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
