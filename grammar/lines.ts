/** How far a line is indented, with a tab read both as one blank and as up to the next multiple of eight. */
export interface Indent {
  readonly narrow: number
  readonly wide: number
}

/** A line that says something, without its end and the blanks behind it. Lines count from 1. */
export interface SourceLine {
  readonly number: number
  readonly text: string
  readonly indent: Indent
}

const LINE_END = /\r\n|\r|\n/

export type LineEnd = '\n' | '\r\n'

/** How most lines of a text end, so that it can be written as it was read: with LF where as many end with something else. */
export function lineEndOf(text: string): LineEnd {
  let [all, double] = [0, 0]
  for (const [end] of text.matchAll(/\r\n|\r|\n/g)) {
    all++
    if (end.length === 2) double++
  }
  return 2 * double > all ? '\r\n' : '\n'
}

/** A text whose lines end with LF, with them ending otherwise. */
export function endedBy(text: string, end: LineEnd): string {
  return end === '\n' ? text : text.replaceAll('\n', end)
}

/** All lines of a text, without their ends: after LF, CR LF or CR. A byte-order mark at the start is no part of the text. */
export function splitLines(text: string): string[] {
  return (text.startsWith('\ufeff') ? text.slice(1) : text).split(LINE_END)
}

/** Those lines that are not blank, of the lines of a text; made one at a time, since there may be very many. */
export function* sourceLines(lines: readonly string[]): Generator<SourceLine> {
  for (const [index, line] of lines.entries()) {
    const text = line.trimEnd()
    if (text !== '') yield { number: index + 1, text, indent: indentOf(text) }
  }
}

/** The line that is indented least, of those that are not a comment alone. */
export function leastIndented(lines: Iterable<SourceLine>): SourceLine | null {
  let least: SourceLine | null = null
  for (const line of lines) {
    if (line.text[line.indent.narrow] === '#') continue
    if (!least || line.indent.wide < least.indent.wide) least = line
    if (least.indent.wide === 0) break
  }
  return least
}

const NO_INDENT: Indent = { narrow: 0, wide: 0 }

function indentOf(line: string): Indent {
  // Most lines begin with a letter: they are not looked at twice.
  if (line[0]! >= 'A' && line[0]! <= 'z') return NO_INDENT
  const blanks = /^[\t\p{Zs}]*/u.exec(line)![0]
  let wide = 0
  for (const blank of blanks) wide = blank === '\t' ? wide + 8 - (wide % 8) : wide + 1
  return { narrow: blanks.length, wide }
}

/** Which of two indents is the deeper: negative, 0 or positive; null where tabs and blanks are mixed so that it is not clear. */
export function compareIndents(a: Indent, b: Indent): number | null {
  const wide = Math.sign(a.wide - b.wide)
  return wide === Math.sign(a.narrow - b.narrow) ? wide : null
}

/** Whether a text takes more than so many bytes in UTF-8. */
export function isLarger(text: string, bytes: number): boolean {
  if (text.length > bytes || text.length * 3 <= bytes) return text.length > bytes
  let count = 0
  for (let index = 0; index < text.length && count <= bytes; index++) {
    const code = text.charCodeAt(index)
    // Either half of a surrogate pair stands for two of its four bytes.
    count += code < 0x80 ? 1 : code < 0x800 || (code >= 0xd800 && code < 0xe000) ? 2 : 3
  }
  return count > bytes
}
