import { AT_LEAST, AT_MOST, type Frame, MUST, WITHIN } from './frame.ts'

/**
 * The variables that tell what shoulds and coulds are short: one for all that bound one row from the same side (with a single lever for all
 * that stop it from the same side, whatever their rows), which is then worth the sum over them, and one for every target of another kind.
 * A band is never left on both sides at once.
 */
export interface Softs {
  readonly levels: readonly number[]
  /** How many targets share each variable. */
  readonly sizes: readonly number[]
  /** Target → variable of its side from below and from above, or of what stops a single lever's fall and its rise; −1 for a must. */
  readonly of: readonly (readonly [below: number, above: number])[]
  /** There is but one lever, so that a bound's side is told by the way in which that lever breaks it. */
  readonly single: boolean
}

export function softsOf({ targets, levers }: Pick<Frame, 'targets' | 'levers'>): Softs {
  const single = levers.n === 1
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
    const key = single ? `${level}` : `${level} ${rows[0]}`
    const [below, above] = [`${key} below`, `${key} above`]
    const shares = rows.length === 1 && (kind === AT_LEAST || kind === AT_MOST || kind === WITHIN)
    if (shares && (single || kind === WITHIN)) return [take(level, below), take(level, above)]
    const place = take(level, shares ? (kind === AT_LEAST ? below : above) : null)
    return [place, place]
  })
  return { levels, sizes, of, single }
}
