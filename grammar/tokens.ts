import { type Piece, pieces } from './lexer.ts'
import type { Span } from './source.ts'
import type { UnitText } from './tree.ts'
import { isReadingText, unitEnd } from './unit-text.ts'
import { isConnective, isFirstWord } from './words.ts'

/** The kinds of token that the grammar knows, as `loft.ne` spells them. */
export const TOKEN_KINDS = [
  ...['Sheet', 'Fact', 'Lever', 'Figure', 'Must', 'Should', 'Could', 'Aim', 'Show'],
  ...['Body', 'Table', 'Flight', 'Stage', 'Parachute', 'Variants', 'Each'],
  ...['From', 'To', 'In', 'At', 'Of', 'Over', 'Within', 'Equal', 'If', 'Then', 'Else', 'And', 'Or', 'Not'],
  ...['Least', 'Most', 'Roomiest', 'Steps'],
  ...['Sign', 'Times', 'Power', 'PlusMinus', 'Open', 'Close', 'Comma'],
  ...['Equals', 'Less', 'LessEqual', 'Greater', 'GreaterEqual'],
  ...['Word', 'Value', 'Unit', 'Quoted'],
] as const

const kinds: ReadonlySet<string> = new Set(TOKEN_KINDS)

/** One token of a line: a whole name, a number with its unit, a connective, a sign. */
export interface Token {
  /** One of TOKEN_KINDS, or `Stray` for what has no meaning anywhere. */
  readonly type: string
  /** What it means in plain form: a name with single blanks, NFC; `-` for every minus; the inside of a quoted text. */
  readonly text: string
  readonly span: Span
  /** Of a Value: the double nearest to `text`, and its unit. */
  readonly value: number
  readonly unit: UnitText | null
}

export interface LineTokens {
  readonly tokens: readonly Token[]
  /** Whether there are too many to be read; then some are left out. */
  readonly tooMany: boolean
  /** The comment at the end without its `#`, trimmed; null where there is none or it says nothing. */
  readonly comment: string | null
}

/** The tokens of a line without its end. `line` counts from 1. Never fails: what has no meaning becomes a `Stray`. */
export function tokens(text: string, line: number): LineTokens {
  const all = pieces(text, MOST_PIECES)
  const comment = all.at(-1)?.type === 'comment' ? all.pop()!.text.slice(1).trim() || null : null
  const tokens = new Joiner(all, line, PLAIN.test(text)).joined()
  return { tokens, tooMany: tokens.length > STATEMENT_TOKENS || all.length === MOST_PIECES, comment }
}

/** Lines that are their own composed form: most are, and asking for that form costs more than reading a word. */
const PLAIN = /^[\t -~]*$/

/** A statement of more tokens is refused. */
export const STATEMENT_TOKENS = 2000
/** No line is cut into more pieces: enough for all tokens of a statement, whatever their names and units. */
const MOST_PIECES = 50_000

/** A span from the start of one thing to the end of another on the same line. */
export function over(first: { readonly span: Span }, last: { readonly span: Span }): Span {
  const { line, column } = first.span
  return { line, column, length: last.span.column + last.span.length - column }
}

/** Whether nothing, not even a blank, stands between two tokens. */
export function touches(first: Token, second: Token): boolean {
  return first.span.column + first.span.length === second.span.column
}

/** What the grammar needs of a lexer: which kinds there are. The tokens are handed to each parser by itself. */
export const lexer = {
  has: (kind: string): boolean => kinds.has(kind),
  reset(): void {},
  next(): undefined {},
  save: (): null => null,
  formatError: (): string => '',
}

const MARKS: ReadonlyMap<string, string> = new Map([
  ['+', 'Sign'],
  ['-', 'Sign'],
  ['−', 'Sign'],
  ['*', 'Times'],
  ['/', 'Times'],
  ['^', 'Power'],
  ['±', 'PlusMinus'],
  ['+/-', 'PlusMinus'],
  ['+/−', 'PlusMinus'],
  ['(', 'Open'],
  [')', 'Close'],
  [',', 'Comma'],
  ['=', 'Equals'],
  ['<', 'Less'],
  ['<=', 'LessEqual'],
  ['≤', 'LessEqual'],
  ['>', 'Greater'],
  ['>=', 'GreaterEqual'],
  ['≥', 'GreaterEqual'],
])

const PLAIN_TEXT: ReadonlyMap<string, string> = new Map([
  ['−', '-'],
  ['+/-', '±'],
  ['+/−', '±'],
  ['≤', '<='],
  ['≥', '>='],
])

/** The last token kinds after which a sign is an operator between two values. */
const ENDS_VALUE: ReadonlySet<string> = new Set(['Word', 'Value', 'Close', 'Stray', 'Quoted', 'Unit'])

/** Joins the pieces of one line, from the left. */
class Joiner {
  private readonly out: Token[] = []
  private at = 0
  private readonly pieces: readonly Piece[]
  private readonly line: number
  private readonly plain: boolean
  /** A row of a table: numbers side by side, where a sign belongs to the number after it. */
  private readonly row: boolean

  constructor(pieces: readonly Piece[], line: number, plain: boolean) {
    this.pieces = pieces
    this.line = line
    this.plain = plain
    const first = pieces[this.skipBlank(0)]?.type
    this.row = first === 'number' || first === 'sign'
  }

  joined(): readonly Token[] {
    for (this.at = this.skipBlank(0); this.goesOn(); this.at = this.skipBlank(this.at)) {
      const piece = this.pieces[this.at]!
      if (this.wantsUnit() && this.unit()) continue
      if (piece.type === 'word') this.word(piece)
      else if (piece.type === 'number') this.number(this.at)
      else if (piece.type === 'sign' && this.signOfReading()) this.number(this.skipBlank(this.at + 1), this.at)
      else if (piece.type === 'text') this.push('Quoted', this.at + 1, piece.text.slice(1, -1))
      else this.push(MARKS.get(piece.text) ?? 'Stray', this.at + 1, PLAIN_TEXT.get(piece.text) ?? piece.text)
    }
    return this.out
  }

  private goesOn(): boolean {
    return this.at < this.pieces.length && this.out.length <= STATEMENT_TOKENS
  }

  /** A first word, a connective, a word that belongs to one, or the words of a name. */
  private word(piece: Piece): void {
    const word = this.composed(piece.text)
    const last = this.out.at(-1)?.type
    if (this.out.length === 0 && isFirstWord(word)) this.push(capital(word), this.at + 1, word)
    else if (isConnective(word)) this.push(capital(word), this.at + 1, word)
    else if (last === 'In' && word === 'steps') this.push('Steps', this.at + 1, word)
    else if ((last === 'At' || last === 'Aim') && (word === 'least' || word === 'most'))
      this.push(capital(word), this.at + 1, word)
    else if (last === 'Aim' && word === 'roomiest') this.push('Roomiest', this.at + 1, word)
    else this.name()
  }

  private name(): void {
    let words = ''
    let end = this.at
    for (let next = this.at; this.pieces[next]?.type === 'word'; next = this.skipBlank(end)) {
      const word = this.composed(this.pieces[next]!.text)
      if (isConnective(word)) break
      words = words === '' ? word : `${words} ${word}`
      end = next + 1
    }
    this.push('Word', end, words)
  }

  private wantsUnit(): boolean {
    return this.out.at(-1)?.type === 'In' && this.out[0]!.type === 'Show'
  }

  /** The unit that `show … in` wants; false where none stands here. */
  private unit(): boolean {
    const end = unitEnd(this.pieces, this.at)
    if (end === this.at) return false
    this.push('Unit', end, this.unitText(this.at, end).text)
    return true
  }

  /** A number with its unit, and before it the sign that belongs to it, if any. */
  private number(number: number, sign = number): void {
    const written = plainNumber(this.pieces[number]!.text)
    const digits = sign !== number && this.pieces[sign]!.text !== '+' ? `-${written}` : written
    const start = this.skipBlank(number + 1)
    const end = unitEnd(this.pieces, start)
    const unit = end > start ? this.unitText(start, end) : null
    this.at = sign
    this.push('Value', unit ? end : number + 1, digits, Number(digits), unit)
  }

  /** Whether the sign here stands before a reading such as `-40 degC`, whose sign is part of it. */
  private signOfReading(): boolean {
    const last = this.out.at(-1)
    if (last && ENDS_VALUE.has(last.type) && !this.row) return false
    const number = this.row ? this.at + 1 : this.skipBlank(this.at + 1)
    if (this.pieces[number]?.type !== 'number') return false
    const start = this.skipBlank(number + 1)
    return isReadingText(this.written(start, unitEnd(this.pieces, start)))
  }

  private unitText(start: number, end: number): UnitText {
    const text = this.written(start, end)
    return { text: this.composed(text).replaceAll('−', '-'), span: this.span(start, end) }
  }

  private composed(text: string): string {
    return this.plain ? text : text.normalize('NFC')
  }

  private written(start: number, end: number): string {
    let text = ''
    for (let index = start; index < end; index++) text += this.pieces[index]!.text
    return text
  }

  private push(type: string, end: number, text: string, value = 0, unit: UnitText | null = null): void {
    this.out.push({ type, text, span: this.span(this.at, end), value, unit })
    this.at = end
  }

  private span(start: number, end: number): Span {
    const first = this.pieces[start]!
    const last = this.pieces[end - 1]!
    return { line: this.line, column: first.offset + 1, length: last.offset + last.text.length - first.offset }
  }

  private skipBlank(index: number): number {
    return this.pieces[index]?.type === 'blank' ? index + 1 : index
  }
}

/** A number with a plain minus in its exponent, and no point that nothing follows. */
function plainNumber(text: string): string {
  return PLAIN_NUMBER.test(text) ? text : text.replace('−', '-').replace(/\.(?!\d)/, '')
}

const PLAIN_NUMBER = /^\d+(?:\.\d+)?$/

/** The token kinds of words that have one of their own: the word with a capital. */
const CAPITALS: ReadonlyMap<string, string> = new Map(TOKEN_KINDS.map(kind => [kind.toLowerCase(), kind]))

function capital(word: string): string {
  return CAPITALS.get(word)!
}
