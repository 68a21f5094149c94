import { AT_LEAST, AT_MOST, type Frame, MUST, WITHIN } from './frame.ts'

/**
 * The variables that tell what shoulds and coulds are short: one for all that bound one row from the same side, which is then
 * worth the sum over them, and one for every target of another kind. A band is never left on both sides at once.
 */
export interface Softs {
  readonly levels: readonly number[]
  /** How many targets share each variable. */
  readonly sizes: readonly number[]
  /** Target → variable of its side from below and from above; −1 for a must. */
  readonly of: readonly (readonly [below: number, above: number])[]
}

export function softsOf({ targets }: Frame): Softs {
  const levels: number[] = []
  const sizes: number[] = []
  const known = new Map<string, number>()
  const take = (level: number, key: string | null): number => {
    const place = (key === null ? undefined : known.get(key)) ?? levels.push(level) - 1
    if (key !== null) known.set(key, place)
    sizes[place] = (sizes[place] ?? 0) + 1
    return place
  }
  const of = targets.map(({ level, kind, rows }): [number, number] => {
    if (level === MUST) return [-1, -1]
    const [below, above] = [`${level} ${rows[0]} below`, `${level} ${rows[0]} above`]
    if (rows.length === 1 && kind === WITHIN) return [take(level, below), take(level, above)]
    const single = rows.length === 1 && (kind === AT_LEAST || kind === AT_MOST)
    const place = take(level, single ? (kind === AT_LEAST ? below : above) : null)
    return [place, place]
  })
  return { levels, sizes, of }
}
