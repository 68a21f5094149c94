import moo from 'moo'

/** What a stretch of a line is, before words are joined into names and numbers with their units. */
export type PieceKind = 'blank' | 'comment' | 'text' | 'number' | 'word' | 'raised' | 'sign' | 'mark'

export interface Piece {
  readonly type: PieceKind
  readonly text: string
  /** UTF-16 units from the start of the line, from 0. */
  readonly offset: number
}

// Every pattern is written for the `u` flag, which moo wants on all or none. A mark is what nothing else takes, a text that
// does not end and a lone surrogate included, so that the lexer never fails. Each further kind makes every piece dearer.
const lexer = moo.compile({
  blank: /[\t\p{Zs}]+/u,
  comment: /#[^\n]*/u,
  text: /"[^"\n]*"/u,
  number: /(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][-+−]?[0-9]+)?/u,
  word: /\p{L}[\p{L}\p{M}\p{Nd}]*/u,
  raised: /[⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻]+/u,
  sign: /[-−]|\+(?!\/[-−])/u,
  mark: /"[^"\n]*|\+\/[-−]|\*\*|[<>=]=?|[^\n]/u,
})

/** A line without its end cut into pieces that together are the line, or its first `most` pieces. */
export function pieces(line: string, most: number): Piece[] {
  lexer.reset(line)
  const all: Piece[] = []
  for (let token = lexer.next(); token && all.length < most; token = lexer.next()) {
    all.push(token as Piece)
  }
  return all
}
