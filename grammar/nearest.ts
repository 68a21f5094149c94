/** The largest slip forgiven: one in a word of up to five letters, two in longer ones, three in long names. */
function allowed(length: number): number {
  return length < 3 ? 0 : length < 6 ? 1 : length < 13 ? 2 : 3
}

/** Looks at a candidate that one vocabulary takes in all: a sheet of thousands of wrong names gets suggestions for the first of them. */
const MOST_LOOKS = 20_000_000
/** What comparing two words letter by letter costs, in looks. */
const COMPARISON = 100

interface Candidate {
  readonly text: string
  readonly lower: string
  readonly length: number
  /** One bit for each letter it has, by its code. */
  readonly letters: number
}

/** Words that a wrong word may have meant, sorted so that thousands of them can be asked thousands of times. */
export class Vocabulary {
  private readonly byLength = new Map<number, Candidate[]>()
  private readonly byWord = new Map<string, Candidate[]>()
  private readonly texts: ReadonlySet<string>
  private left = MOST_LOOKS

  constructor(candidates: Iterable<string>) {
    this.texts = new Set(candidates)
    for (const text of this.texts) {
      const lower = text.toLowerCase()
      const candidate = { text, lower, length: [...lower].length, letters: lettersOf(lower) }
      listed(this.byLength, candidate.length).push(candidate)
      for (const word of new Set(lower.split(' '))) listed(this.byWord, word).push(candidate)
    }
  }

  has(word: string): boolean {
    return this.texts.has(word)
  }

  /**
   * The candidate that a wrong word was most likely meant to be, or null when that is not clear: the nearest by letters
   * added, left out, changed or exchanged (case apart), else the only one made of the same words or holding them all.
   */
  nearest(word: string): string | null {
    const wanted = word.toLowerCase()
    const length = [...wanted].length
    const letters = lettersOf(wanted)
    const limit = allowed(length)
    let best: string | null = null
    let bestSlips = limit + 1
    let tied = false
    for (let other = length - limit; other <= length + limit; other++) {
      for (const candidate of this.byLength.get(other) ?? []) {
        if (--this.left < 0) return null
        if (candidate.text === word) continue
        // Each letter that only one of them has is a slip, or half of one where it was changed.
        if (bits(candidate.letters & ~letters) > limit || bits(letters & ~candidate.letters) > limit) continue
        this.left -= COMPARISON
        const slips = slipsBetween(wanted, candidate.lower, Math.min(limit, bestSlips))
        if (slips < bestSlips) [best, bestSlips, tied] = [candidate.text, slips, false]
        else if (slips === bestSlips && slips <= limit) tied = true
      }
    }
    if (best !== null) return tied ? null : best
    return this.ofSameWords(word, wanted)
  }

  private ofSameWords(word: string, wanted: string): string | null {
    const holding = new Set<string>()
    for (const each of wanted.split(' ')) {
      for (const { text, lower } of this.byWord.get(each) ?? []) {
        this.left -= COMPARISON
        if (this.left < 0) return null
        if (text === word) continue
        if (holds(wanted, lower) || holds(lower, wanted)) holding.add(text)
      }
    }
    const all = [...holding]
    const same = all.filter(each => each.length === word.length)
    if (same.length === 1) return same[0]!
    return all.length === 1 ? all[0]! : null
  }
}

/** The same for a few candidates, asked once. */
export function nearest(word: string, candidates: Iterable<string>): string | null {
  return new Vocabulary(candidates).nearest(word)
}

function listed<K>(map: Map<K, Candidate[]>, key: K): Candidate[] {
  const known = map.get(key)
  if (known) return known
  const fresh: Candidate[] = []
  map.set(key, fresh)
  return fresh
}

function lettersOf(lower: string): number {
  let letters = 0
  for (let i = 0; i < lower.length; i++) letters |= 1 << (lower.charCodeAt(i) & 31)
  return letters
}

function bits(mask: number): number {
  let count = 0
  for (let rest = mask; rest !== 0; rest &= rest - 1) count++
  return count
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
