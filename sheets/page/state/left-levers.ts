/** A lever as it was written, and its range [SI]. */
interface LeftLever {
  readonly words: string
  readonly unit: string
  readonly range: readonly [number, number]
}

/** Levers that a hand has made facts of, by name, as long as the page is open on their sheet: the gesture back gives each its own range again. */
let left: ReadonlyMap<string, LeftLever> = new Map()

/** A hand makes a fact of a lever. */
export function leaveLever(name: string, words: string, unit: string, range: LeftLever['range'] | null): void {
  if (range) left = new Map(left).set(name, { words, unit, range })
}

/** How such a fact, `written` so by now, was written as a lever; null where it is none, or has another unit or a value that its range does not hold. */
export function leverLeft(name: string, written: string, si: number | null): string | null {
  const lever = left.get(name)
  if (!lever || si === null || unitOf(written) !== lever.unit) return null
  const [from, to] = lever.range
  // A setting is written in few figures: at an end of its range that may round it outwards.
  const slack = 1e-3 * (to - from)
  return si >= from - slack && si <= to + slack ? lever.words : null
}

/** The unit of a plain number with its unit. */
function unitOf(written: string): string {
  return written.replace(/^\s*[+-]?[\d.]+(e[+-]?\d+)?\s*/i, '').trim()
}

/** Another sheet is opened: what has the same name there is something else. */
export function forgetLevers(): void {
  left = new Map()
}
