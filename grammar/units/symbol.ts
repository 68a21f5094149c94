import type { Dimension } from './dimension.ts'
import { ofFactorText, type Ratio, ratio, times } from './ratio.ts'
import { PREFIXES, UNITS, type UnitRow } from './table.ts'

/** What one symbol of a unit stands for, prefix included: SI = (value + offset) × factor. */
export interface SymbolMeaning {
  readonly row: UnitRow
  readonly dimension: Dimension
  readonly factor: Ratio
  readonly offset: Ratio | null
}

/** Every row by each of its symbols. */
const ROWS: ReadonlyMap<string, UnitRow> = new Map(
  UNITS.flatMap(row => row.symbols.map(symbol => [symbol, row] as const)),
)

/** The symbols asked for so far: exact factors take a while to work out. */
const MEANINGS = new Map<string, SymbolMeaning>()

/** A symbol's meaning, or null when there is none. A symbol of the table itself goes before a prefix and a symbol. */
export function meaningOf(symbol: string): SymbolMeaning | null {
  const known = MEANINGS.get(symbol)
  if (known) return known
  const meaning = workedOut(symbol)
  if (meaning) MEANINGS.set(symbol, meaning)
  return meaning
}

function workedOut(symbol: string): SymbolMeaning | null {
  const row = ROWS.get(symbol)
  if (row) {
    const offset = row.offset === undefined ? null : ofFactorText(row.offset)
    return { row, dimension: row.dimension, factor: ofFactorText(row.factor), offset }
  }
  for (const [prefix, , tens] of PREFIXES) {
    const rest = symbol.startsWith(prefix) ? ROWS.get(symbol.slice(prefix.length)) : undefined
    if (!rest?.prefixes) continue
    const size = tens < 0 ? ratio(1n, 10n ** BigInt(-tens)) : ratio(10n ** BigInt(tens), 1n)
    return { row: rest, dimension: rest.dimension, factor: times(size, ofFactorText(rest.factor)), offset: null }
  }
  return null
}
