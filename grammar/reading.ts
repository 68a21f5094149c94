import rules, { id } from './loft.generated.ts'
import type { Token } from './tokens.ts'

/**
 * How a line is read, told by the places of its tokens instead of the tokens themselves. The grammar looks at kinds of token only,
 * so that all lines of the same kinds in the same order are read alike: nearley finds it out for the first of them.
 */
export interface Reading {
  /** What the rule makes of its parts; null where a token stands. */
  readonly make: ((parts: unknown[]) => unknown) | null
  readonly parts: readonly Reading[]
  /** The place of the token, −1 where a rule stands. */
  readonly at: number
}

/** The grammar's rules, each giving the reading of what it matches instead of what it makes of it. */
export const READING_RULES = rules.ParserRules.map(({ name, symbols, postprocess }) => ({
  name,
  symbols,
  postprocess: readingBy(postprocess),
}))

/** A rule that hands on its one part is that part's reading; one that says nothing makes the list of its parts. */
function readingBy(make: Reading['make'] | undefined): (parts: readonly Reading[]) => Reading {
  if (make === id) return ([only]) => only!
  return parts => ({ make: make ?? list, parts, at: -1 })
}

function list(parts: unknown[]): unknown {
  return parts
}

/** The reading of one token, as nearley is handed it: of a kind, and without the text that it would compare with words of a grammar. */
export interface KindAt extends Reading {
  readonly type: string
  readonly text: string
}

export function kindAt(at: number, type: string): KindAt {
  return { make: null, parts: NO_PARTS, at, type, text: '' }
}

const NO_PARTS: readonly Reading[] = []

/** What a line says, by its reading. */
export function made({ make, parts, at }: Reading, tokens: readonly Token[]): unknown {
  if (!make) return tokens[at]
  const each = new Array<unknown>(parts.length)
  for (let place = 0; place < each.length; place++) each[place] = made(parts[place]!, tokens)
  return make(each)
}

/** What is known of lines that begin with certain kinds of token. */
interface Known {
  /** Of the line that ends there; null where none did. */
  reading: Reading | null
  readonly next: Map<string, Known>
}

const known: Known = { reading: null, next: new Map() }
/** The tokens of all readings kept, and how many are kept before all are forgotten. */
let kept = 0
const MOST_KEPT = 10_000

/** The reading of a line of these kinds of token, null where none was kept. */
export function readingKept(tokens: readonly Token[]): Reading | null {
  let at = known
  for (const { type } of tokens) {
    const next = at.next.get(type)
    if (!next) return null
    at = next
  }
  return at.reading
}

/** Keeps a reading for later lines of the same kinds of token. */
export function keepReading(tokens: readonly Token[], reading: Reading): void {
  kept += tokens.length
  if (kept > MOST_KEPT) {
    known.next.clear()
    kept = tokens.length
  }
  let at = known
  for (const { type } of tokens) {
    let next = at.next.get(type)
    if (!next) {
      next = { reading: null, next: new Map() }
      at.next.set(type, next)
    }
    at = next
  }
  at.reading = reading
}
