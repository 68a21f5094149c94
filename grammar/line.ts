import nearley from 'nearley'
import { type KindAt, keepReading, kindAt, made, READING_RULES, type Reading, readingKept } from './reading.ts'
import type { Span } from './source.ts'
import { lexer, type Token } from './tokens.ts'
import type { Each, Part, Slot, Statement, TableRow } from './tree.ts'

/** What a line says by itself: a statement or block head, or a line of a block. Spans and comments are added later. */
export type LineNode =
  | Bare<Statement>
  | Bare<Part>
  | (Bare<Slot> & { readonly kind: 'slot' })
  | (Bare<TableRow> & { readonly kind: 'row' })
  | Bare<Each>

/** A node without what every line has. */
type Bare<T> = T extends unknown ? Omit<T, 'span' | 'comment'> : never

/** Where the grammar could not go on: the index of the token in the way (the number of tokens at the end of the line). */
export interface Stuck {
  readonly at: number
  /** The kinds of token that could have stood there. */
  readonly expected: ReadonlySet<string>
  /** Whether the line could have ended there. */
  readonly complete: boolean
}

interface State {
  readonly rule: { readonly name: string; readonly symbols: readonly unknown[] }
  readonly dot: number
  readonly reference: number
}

/** What nearley knows after so many tokens; its types leave this out. */
interface Column {
  readonly states: readonly State[]
  /** The states that want a token. */
  readonly scannable: readonly State[]
}

/** The rule that a line must follow, by its first token; `slot` and `row` have no first word. */
const STARTS: Readonly<Record<string, string>> = {
  Must: 'target',
  Should: 'target',
  Could: 'target',
  Stage: 'part',
  Parachute: 'part',
  Word: 'slot',
  Value: 'row',
  Sign: 'row',
}

/** The grammars from each start that were needed so far, by the kind of the first token. */
const grammars = new Map<string, nearley.Grammar>()

/** The grammar of lines that begin with a kind of token. A parser that begins at the right statement has half the work of one that may begin at any. */
function grammarFrom(kind: string): nearley.Grammar {
  const made = grammars.get(kind)
  if (made) return made
  const start = STARTS[kind] ?? kind.toLowerCase()
  const grammar = new nearley.Grammar(RULES)
  if (READING_RULES.some(rule => rule.name === start)) grammar.start = start
  grammars.set(kind, grammar)
  return grammar
}

const RULES = READING_RULES.map(({ name, symbols, postprocess }) => new nearley.Rule(name, symbols, postprocess))

/** What one line's tokens say; there must be at least one. */
export function readTokens(tokens: readonly Token[]): { readonly node: LineNode } | { readonly stuck: Stuck } {
  const kept = readingKept(tokens)
  if (kept) return { node: made(kept, tokens) as LineNode }
  const found = findReading(tokens)
  if ('stuck' in found) return found
  keepReading(tokens, found.reading)
  return { node: made(found.reading, tokens) as LineNode }
}

/**
 * Lets nearley find the reading. A token that cannot stand where it stands is never handed to it: it would list its whole state
 * in an error, at a cost that grows with the square of the nesting.
 */
function findReading(tokens: readonly Token[]): { readonly reading: Reading } | { readonly stuck: Stuck } {
  const grammar = grammarFrom(tokens[0]!.type)
  let at = 0
  const fits = (type: string): boolean => table[at]!.scannable.some(state => wanted(state) === type)
  const next = (): KindAt | undefined => {
    const type = tokens[at]?.type
    return type !== undefined && fits(type) ? kindAt(at++, type) : undefined
  }
  const { has, reset, save, formatError } = lexer
  const parser = new nearley.Parser(grammar, {
    lexer: { has, reset, save, formatError, next } as unknown as nearley.Lexer,
  })
  const { table } = parser as unknown as { readonly table: readonly Column[] }
  parser.feed('')
  if (at < tokens.length || parser.results.length === 0) return { stuck: stuckAt(table[at]!.states, at, grammar.start) }
  if (parser.results.length > 1)
    throw new Error(`${parser.results.length} readings of ${tokens.map(each => each.text).join(' ')}`)
  return { reading: parser.results[0] as Reading }
}

/** The kind of token that a state wants next; undefined where it wants another rule or is at its end. */
function wanted(state: State): string | undefined {
  return (state.rule.symbols[state.dot] as { readonly type?: string } | undefined)?.type
}

function stuckAt(states: readonly State[], at: number, start: string): Stuck {
  const kinds = states.map(wanted).filter(kind => kind !== undefined)
  const atEnd = (state: State) =>
    state.rule.name === start && state.reference === 0 && state.dot === state.rule.symbols.length
  return { at, expected: new Set(kinds), complete: states.some(atEnd) }
}

/** The span of a whole line of tokens, comment apart. */
export function lineSpan(tokens: readonly Token[]): Span {
  const { line, column } = tokens[0]!.span
  const last = tokens.at(-1)!.span
  return { line, column, length: last.column + last.length - column }
}
