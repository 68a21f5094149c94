import { showable, widthOf } from '../../grammar/width.ts'

/**
 * What a piece of text is, so that each face gives it its own dress: colour in a terminal, nothing in a plain one.
 * Words carry the same meaning without any.
 */
export type Ink = 'plain' | 'strong' | 'pencil' | 'limit' | 'short' | 'room' | 'hatch'

export interface Piece {
  readonly text: string
  readonly ink: Ink
}

export type Line = readonly Piece[]

/** How an ink looks; the text comes back in that look. */
export type Paint = (text: string, ink: Ink) => string

export function piece(text: string, ink: Ink = 'plain'): Piece {
  return { text, ink }
}

export const BLANK: Line = []

/** Lines whose texts are each put into other letters. */
export function respelled(lines: readonly Line[], spell: (text: string) => string): readonly Line[] {
  return lines.map(line => line.map(each => piece(spell(each.text), each.ink)))
}

/** Lines as text, one line each, without blanks at their ends; `paint` puts colour in. */
export function print(lines: readonly Line[], paint: Paint = text => text): string {
  return lines
    .map(
      line =>
        `${trimEnd(line)
          .map(each => paintPiece(each, paint))
          .join('')}\n`,
    )
    .join('')
}

function paintPiece({ text, ink }: Piece, paint: Paint): string {
  // A sheet's own words may hold what would steer a terminal.
  const safe = showable(text)
  return ink === 'plain' || safe.trim() === '' ? safe : paint(safe, ink)
}

function trimEnd(line: Line): Line {
  const last = line.at(-1)
  if (!last) return line
  const text = last.text.trimEnd()
  return text === '' ? trimEnd(line.slice(0, -1)) : [...line.slice(0, -1), { text, ink: last.ink }]
}

/** The columns of a whole line. */
export function lineColumns(line: Line): number {
  return line.reduce((sum, each) => sum + widthOf(each.text), 0)
}

/** Keeps two words on one line where a text is wrapped: a number and its unit. */
export const TIE = '\u00a0'

/** Words broken into lines of at most `width` columns; a longer word stands on a line of its own. Ties become blanks. */
export function wrap(text: string, width: number): readonly string[] {
  const lines: string[] = []
  let line = ''
  for (const word of text.split(' ')) {
    if (line !== '' && widthOf(line) + 1 + widthOf(word) > width) {
      lines.push(line)
      line = word
    } else line = line === '' ? word : `${line} ${word}`
  }
  if (line !== '') lines.push(line)
  return lines.map(each => each.replaceAll(TIE, ' '))
}
