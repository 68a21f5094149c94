/** The largest slip forgiven: one in a word of up to five letters, two in longer ones, three in long names. */
function allowed(length: number): number {
  return length < 3 ? 0 : length < 6 ? 1 : length < 13 ? 2 : 3
}

/**
 * The candidate that a wrong word was most likely meant to be, or null when that is not clear: the nearest by letters
 * added, left out, changed or exchanged (case apart), else the only one made of the same words or holding them all.
 */
export function nearest(word: string, candidates: Iterable<string>): string | null {
  const wanted = word.toLowerCase()
  const limit = allowed([...wanted].length)
  let best: string | null = null
  let bestSlips = limit + 1
  let tied = false
  const holding: string[] = []
  for (const candidate of new Set(candidates)) {
    if (candidate === word) continue
    const other = candidate.toLowerCase()
    const slips = slipsBetween(wanted, other, Math.min(limit, bestSlips))
    if (slips < bestSlips) [best, bestSlips, tied] = [candidate, slips, false]
    else if (slips === bestSlips && slips <= limit) tied = true
    if (holds(wanted, other) || holds(other, wanted)) holding.push(candidate)
  }
  if (best !== null) return tied ? null : best
  const same = holding.filter(each => each.length === word.length)
  if (same.length === 1) return same[0]!
  return holding.length === 1 ? holding[0]! : null
}

/** Whether all words of `part` stand in `whole`, in any order. */
function holds(part: string, whole: string): boolean {
  if (part.length > whole.length || part.length < 3) return false
  const words = whole.split(' ')
  return part.split(' ').every(each => words.includes(each))
}

/** Letters added, left out, changed, or exchanged with their neighbour to turn one word into another; `most` + 1 for any more. */
export function slipsBetween(a: string, b: string, most: number): number {
  if (most === 0) return a === b ? 0 : 1
  // A character takes two UTF-16 units at most, so this is sure before the characters are parted.
  if (Math.max(a.length, b.length) > 2 * (Math.min(a.length, b.length) + most)) return most + 1
  const [from, to] = [[...a], [...b]]
  if (Math.abs(from.length - to.length) > most) return most + 1
  let older: number[] = []
  let old = to.map((_, index) => index)
  old.push(to.length)
  for (let row = 1; row <= from.length; row++) {
    const current = [row]
    let least = row
    for (let column = 1; column <= to.length; column++) {
      const changed = old[column - 1]! + (from[row - 1] === to[column - 1] ? 0 : 1)
      let slips = Math.min(changed, old[column]! + 1, current[column - 1]! + 1)
      const exchanged = row > 1 && column > 1 && from[row - 1] === to[column - 2] && from[row - 2] === to[column - 1]
      if (exchanged) slips = Math.min(slips, older[column - 2]! + 1)
      current.push(slips)
      least = Math.min(least, slips)
    }
    if (least > most) return most + 1
    ;[older, old] = [old, current]
  }
  return Math.min(old[to.length]!, most + 1)
}
