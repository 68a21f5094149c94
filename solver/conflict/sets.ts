/** Some of the targets, as bits by place. */
export type Mask = bigint

export const NONE: Mask = 0n

/** The mask of some places. */
export function maskOf(places: Iterable<number>): Mask {
  let mask = NONE
  for (const place of places) mask |= 1n << BigInt(place)
  return mask
}

/** The places in a mask, rising. */
export function placesOf(mask: Mask): number[] {
  const places: number[] = []
  for (let place = 0, rest = mask; rest > NONE; place++, rest >>= 1n) if (rest & 1n) places.push(place)
  return places
}

function within(part: Mask, whole: Mask): boolean {
  return (part & ~whole) === NONE
}

/** Sets of targets known to be met together somewhere; only those that no other holds are kept. */
export class Together {
  private kept: Mask[] = []

  get largest(): readonly Mask[] {
    return this.kept
  }

  /** Whether some place is known where all of these are met. */
  covers(mask: Mask): boolean {
    return this.kept.some(met => within(mask, met))
  }

  add(mask: Mask): void {
    if (this.covers(mask)) return
    this.kept = [...this.kept.filter(met => !within(met, mask)), mask]
  }
}

/** What was found out about some targets: met together where all of `met` are; impossible; or neither was shown. */
export type Verdict = { readonly met: Mask } | 'impossible' | 'unsure'

/** How far the search over sets may go. */
export interface Bounds {
  /** Sets looked for. */
  readonly most: number
  /** Questions that may be asked. */
  readonly questions: number
}

/** Steps of one look for the smallest open set: beyond, it is given up. */
const MOST_STEPS = 100_000
/** With more targets than this a first set is halved down to, before smaller ones are looked for. */
const MANY = 8

/**
 * Irreducible sets of `count` targets that cannot be met together, fewest targets first, then by place. `all` of them are known to be
 * impossible together; `together` holds what is known to be possible and learns more from what `ask` finds out.
 * By duality: an impossible set meets the complement of every possible one, so the smallest set that does is either the next
 * answer or teaches a new possible one.
 */
export function impossibleSets(
  count: number,
  together: Together,
  ask: (targets: Mask) => Verdict,
  { most, questions }: Bounds,
): readonly Mask[] {
  const all = maskOf(Array.from({ length: count }, (_, place) => place))
  let left = questions
  const impossible = (mask: Mask): boolean => {
    if (mask === all) return true
    if (together.covers(mask)) return false
    left--
    const verdict = ask(mask)
    if (verdict === 'impossible') return true
    together.add(verdict === 'unsure' ? mask : verdict.met | mask)
    return false
  }
  const found: Mask[] = []
  const first = count > MANY ? halved(all, impossible) : null
  while (found.length < most && left > 0) {
    const next = smallestOpen(count, together.largest, found)
    if (next === null) return found
    if (impossible(next)) found.push(next)
  }
  if (first !== null && found.length < most && !found.includes(first)) found.push(first)
  return found.length > 0 ? found : [first ?? halved(all, impossible)]
}

/** The smallest set that no possible set holds and that holds no impossible one; null where there is none (or none within reason). */
function smallestOpen(count: number, possible: readonly Mask[], impossible: readonly Mask[]): Mask | null {
  const all = maskOf(Array.from({ length: count }, (_, place) => place))
  const complements = (possible.length === 0 ? [NONE] : possible).map(met => all & ~met)
  let steps = 0
  const extend = (mask: Mask, room: number): Mask | null => {
    if (++steps > MOST_STEPS || impossible.some(set => within(set, mask))) return null
    const missed = complements.find(complement => (complement & mask) === NONE)
    if (missed === undefined) return mask === NONE ? null : mask
    if (room === 0) return null
    for (const place of placesOf(missed)) {
      const found = extend(mask | (1n << BigInt(place)), room - 1)
      if (found !== null) return found
    }
    return null
  }
  for (let size = 1; size <= count; size++) {
    const found = extend(NONE, size)
    if (found !== null) return found
  }
  return null
}

/**
 * One irreducible part of an impossible set, by halves: what must be kept of one half while the other stands, then the other way
 * round (divide and conquer, as Junker 2004 for preferred explanations).
 */
export function halved(all: Mask, impossible: (mask: Mask) => boolean): Mask {
  const shrink = (kept: Mask, added: boolean, parts: readonly number[]): Mask => {
    if (added && impossible(kept)) return NONE
    if (parts.length === 1) return maskOf(parts)
    const middle = parts.length >> 1
    const [left, right] = [parts.slice(0, middle), parts.slice(middle)]
    const second = shrink(kept | maskOf(left), left.length > 0, right)
    const first = shrink(kept | second, second !== NONE, left)
    return first | second
  }
  return shrink(NONE, false, placesOf(all))
}
