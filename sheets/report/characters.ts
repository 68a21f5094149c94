/** The characters that the pictures of a terminal are drawn with. */
export interface Characters {
  readonly hatch: string
  readonly limit: string
  readonly room: string
  readonly overshoot: string
  readonly mark: string
  readonly line: string
  readonly beyondLeft: string
  readonly beyondRight: string
}

export const DRAWN: Characters = {
  hatch: '╱',
  limit: '┃',
  room: '━',
  overshoot: '╳',
  mark: '◆',
  line: '─',
  beyondLeft: '‹',
  beyondRight: '›',
}

/** For terminals that do not read UTF-8. */
export const TYPED: Characters = {
  hatch: '/',
  limit: '|',
  room: '=',
  overshoot: 'x',
  mark: '*',
  line: '-',
  beyondLeft: '<',
  beyondRight: '>',
}

/** The signs of numbers and units in letters that every terminal has; other letters are left as they are. */
export function typedText(text: string): string {
  return text
    .replaceAll('−', '-')
    .replaceAll('±', '+/-')
    .replaceAll('·', '*')
    .replaceAll('×', '*')
    .replaceAll('µ', 'u')
    .replaceAll('°', 'deg')
}
