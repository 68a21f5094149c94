/** A margin that is linear over the box, with the figure and the side that it bounds: others of that `key` move with it. */
export interface Sloping {
  readonly key: number
  /** Its values where it is least and most. */
  readonly least: number
  readonly most: number
}

/**
 * Places of the margins of which each may be the smallest of its key somewhere. The others are above it everywhere, and once it can be
 * widened no further, nor can they.
 */
export function leading(margins: readonly Sloping[]): readonly number[] {
  const places = [...margins.keys()].sort((a, b) => {
    const [one, other] = [margins[a]!, margins[b]!]
    return one.key - other.key || one.least - other.least || one.most - other.most || a - b
  })
  const kept: number[] = []
  let key = Number.NaN
  let most = Number.POSITIVE_INFINITY
  for (const place of places) {
    const margin = margins[place]!
    if (margin.key === key && margin.most >= most) continue
    key = margin.key
    most = margin.most
    kept.push(place)
  }
  return kept.sort((a, b) => a - b)
}
