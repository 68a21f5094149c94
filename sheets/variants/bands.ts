import type { TallyState } from './tally.ts'

/** Neighbouring values of a varied column, with how many of their variants ended well. */
export interface Band {
  readonly from: string
  readonly to: string
  readonly good: number
  readonly all: number
}

/** More values than this are not told one by one. */
const MOST_TOLD = 6
const BANDS = 4

type Table = NonNullable<TallyState['values'][string]>

/**
 * The values of a column, to be read in one sentence: numbers rising, many of them in bands of about as many values
 * each; of many words the two best and the two worst (`all` false).
 */
export function bandsOf(
  table: Table,
  of: 'solved' | 'met',
): { readonly shown: readonly Band[]; readonly all: boolean } {
  const told = groupsOf(table, of)
  if (told.length <= MOST_TOLD) return { shown: told, all: true }
  const rate = (band: Band): number => band.good / band.all
  const sorted = told.toSorted((a, b) => rate(b) - rate(a))
  return { shown: [...sorted.slice(0, 2), ...sorted.slice(-2)], all: false }
}

/** The values of a column one by one, or in bands where they are many numbers; numbers rising. */
export function groupsOf(table: Table, of: 'solved' | 'met'): readonly Band[] {
  const single = Object.entries(table).map(
    ([value, [met, solved, all]]): Band => ({ from: value, to: value, good: of === 'solved' ? solved : met, all }),
  )
  if (!single.every(({ from }) => from !== '' && Number.isFinite(Number(from)))) return single
  single.sort((a, b) => Number(a.from) - Number(b.from))
  return single.length > MOST_TOLD ? inBands(single) : single
}

function inBands(single: readonly Band[]): readonly Band[] {
  const bands: Band[] = []
  for (let k = 0; k < BANDS; k++) {
    const part = single.slice(Math.round((k * single.length) / BANDS), Math.round(((k + 1) * single.length) / BANDS))
    const sum = (of: (band: Band) => number): number => part.reduce((total, band) => total + of(band), 0)
    const band = { from: part[0]!.from, to: part.at(-1)!.to, good: sum(each => each.good), all: sum(each => each.all) }
    const last = bands.at(-1)
    // The same share on both sides: one band.
    if (last && last.good * band.all === band.good * last.all)
      bands[bands.length - 1] = { from: last.from, to: band.to, good: last.good + band.good, all: last.all + band.all }
    else bands.push(band)
  }
  return bands
}
