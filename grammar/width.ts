// How wide text stands in a terminal or editor with letters of one width.

/** Code points two columns wide: the wide and fullwidth ranges of UAX #11 (from memory), emoji included. */
const WIDE: readonly (readonly [number, number])[] = [
  [0x1100, 0x115f],
  [0x2e80, 0x303e],
  [0x3041, 0x4dbf],
  [0x4e00, 0xa4cf],
  [0xa960, 0xa97f],
  [0xac00, 0xd7a3],
  [0xf900, 0xfaff],
  [0xfe30, 0xfe6f],
  [0xff00, 0xff60],
  [0xffe0, 0xffe6],
  [0x1f300, 0x1f64f],
  [0x1f680, 0x1f6ff],
  [0x1f900, 0x1f9ff],
  [0x1fa70, 0x1faff],
  [0x20000, 0x3fffd],
]

const SIMPLE = /^[\x20-\x7e]*$/
const WIDTHLESS = /[\p{M}\u1160-\u11ff\u200b-\u200f]/u

/** The columns that one character (a code point) takes. */
export function characterWidth(character: string): number {
  const code = character.codePointAt(0)!
  if (code < 0x300) return 1
  if (WIDTHLESS.test(character)) return 0
  return WIDE.some(([first, last]) => code >= first && code <= last) ? 2 : 1
}

/** The columns that a text takes. */
export function widthOf(text: string): number {
  if (SIMPLE.test(text)) return text.length
  let width = 0
  for (const character of text) width += characterWidth(character)
  return width
}

/** A text with blanks behind it, up to a width. */
export function padded(text: string, width: number): string {
  return text + ' '.repeat(Math.max(0, width - widthOf(text)))
}

/** A text fit to be shown on a line: tabs as blanks; what would steer a terminal, or turn the direction of reading, as `�`. */
export function showable(text: string): string {
  return text
    .replace(/\t/g, ' ')
    .replace(/[\p{Cc}\p{Cs}\u061c\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff]/gu, '\ufffd')
}
