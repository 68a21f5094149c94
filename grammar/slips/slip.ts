import type { BlockKind } from '../block-kind.ts'
import type { Stuck } from '../line.ts'
import { error, type Problem, type Span } from '../source.ts'
import type { Token } from '../tokens.ts'
import { isConnective } from '../words.ts'

/** A line that the grammar could not read to its end, and what is known about the place. */
export interface Slip extends Stuck {
  readonly tokens: readonly Token[]
  /** The line as written. */
  readonly text: string
  /** The block that the line stands in. */
  readonly inside: BlockKind
  readonly head: Token
  /** The token in the way; null at the end of the line. */
  readonly found: Token | null
  readonly before: Token | null
  readonly after: Token | null
}

/** Looks for one kind of mistake; null where it is another. */
export type Look = (slip: Slip) => Problem | null

export function slipOf(tokens: readonly Token[], text: string, inside: BlockKind, stuck: Stuck): Slip {
  const { at } = stuck
  const [before, found, after] = [tokens[at - 1] ?? null, tokens[at] ?? null, tokens[at + 1] ?? null]
  const { expected, complete } = stuck
  return { at, expected, complete, tokens, text, inside, head: tokens[0]!, found, before, after }
}

/** The place of the token in the way, or the one behind the line. */
export function placeOf(slip: Slip): Span {
  return slip.found?.span ?? behind(slip.tokens.at(-1)!.span)
}

/** The place right behind a span. */
export function behind(span: Span): Span {
  return { line: span.line, column: span.column + span.length, length: 1 }
}

/** A problem at the token in the way. */
export function here(slip: Slip, message: string, mend: string): Problem {
  return error(placeOf(slip), message, mend)
}

/** A part of the line as it was written, from one token to another, cut short where it is long. */
export function written(slip: Slip, first: Token, last = first): string {
  const end = last.span.column - 1 + last.span.length
  return shortened(slip.text.slice(first.span.column - 1, end).replace(/\s+/g, ' '))
}

export function shortened(text: string): string {
  const letters = [...text.slice(0, 100)]
  return letters.length > 48 ? `${letters.slice(0, 45).join('')}…` : text
}

/** Whether a value could have stood at the place: a number, a name, a parenthesis. */
export function wantsValue(slip: Slip): boolean {
  return slip.expected.has('Value') && slip.expected.has('Word')
}

/** Whether an expression could have gone on at the place. */
export function wantsOperator(slip: Slip): boolean {
  return slip.expected.has('Times')
}

export function isConnectiveToken(token: Token | null | undefined): boolean {
  return !!token && token.type !== 'Word' && isConnective(token.text)
}

export function isTarget(slip: Slip): boolean {
  return slip.head.type === 'Must' || slip.head.type === 'Should' || slip.head.type === 'Could'
}
