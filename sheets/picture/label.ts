import { element, escaped } from './svg.ts'
import { LETTERING, WORDS } from './theme.ts'

/**
 * Widths of printable ASCII from the blank on, in thousandths of the size: those of the narrow sans serif hand that the lettering falls
 * back on (the metrics that Helvetica Narrow made common; from memory), 0.82 of the upright one.
 */
const UPRIGHT =
  '278 278 355 556 556 889 667 191 333 333 389 584 278 333 278 278 556 556 556 556 556 556 556 556 556 556 278 278 584 584 584 556 1015 667 667 722 722 667 611 778 722 278 500 667 556 833 722 778 667 778 722 667 611 722 667 944 667 667 611 278 278 278 469 556 333 556 556 500 556 556 278 556 556 222 222 500 222 833 556 556 556 556 333 500 278 556 500 722 500 500 500 334 260 334 584'
    .split(' ')
    .map(Number)
const NARROW = 0.82
/** Letters of other scripts are taken for as wide as a capital, signs of the far east for a square. */
const OTHER = 667
const SQUARE = 1000

export type Hand = 'words' | 'lettering'

/** How a label is written. */
export interface LabelStyle {
  readonly size: number
  readonly hand?: Hand
  readonly bold?: boolean
  readonly ink: string
  readonly anchor?: 'start' | 'middle' | 'end'
}

/** Where a label stands: its box in pixels. */
export interface Box {
  readonly x: number
  readonly y: number
  readonly width: number
  readonly height: number
}

/** How wide some words are [px]. Pictures are written without a screen to measure on, so each label is set to just this width. */
export function widthOfWords(
  words: string,
  { size, hand = 'lettering', bold = false }: Pick<LabelStyle, 'size' | 'hand' | 'bold'>,
): number {
  let units = 0
  for (const letter of words) {
    const code = letter.codePointAt(0)!
    units += UPRIGHT[code - 32] ?? (code > 0x2e80 ? SQUARE : OTHER)
  }
  return (units / 1000) * size * (hand === 'words' ? 0.9 : NARROW) * (bold ? 1.07 : 1)
}

/** At most so many letters of some words. */
export function cut(words: string, most: number): string {
  const letters = [...words]
  return letters.length <= most ? words : `${letters.slice(0, most - 1).join('')}…`
}

/** The box of a label whose baseline begins (ends, is centred) at a place. */
export function boxOf(words: string, x: number, y: number, style: Omit<LabelStyle, 'ink'>): Box {
  const width = widthOfWords(words, style)
  const left = style.anchor === 'end' ? x - width : style.anchor === 'middle' ? x - width / 2 : x
  return { x: left, y: y - 0.78 * style.size, width, height: style.size }
}

/** A picture under way: what is drawn, and the boxes of its labels. */
export class Sheet {
  readonly marks: string[] = []
  readonly labels: Box[] = []

  draw(...marks: readonly string[]): void {
    this.marks.push(...marks)
  }

  /** Writes a label with its baseline at a place. */
  write(words: string, x: number, y: number, style: LabelStyle): void {
    if (words === '') return
    const { size, hand = 'lettering', bold = false, ink, anchor = 'start' } = style
    this.labels.push(boxOf(words, x, y, style))
    this.marks.push(
      element(
        'text',
        {
          x,
          y,
          'font-size': size,
          'font-family': hand === 'words' ? WORDS : LETTERING,
          'font-weight': bold ? 700 : undefined,
          fill: ink,
          'text-anchor': anchor === 'start' ? undefined : anchor,
          textLength: widthOfWords(words, style),
          lengthAdjust: 'spacingAndGlyphs',
        },
        escaped(words),
      ),
    )
  }

  /** Whether a box, with a little room about it, is free of all labels so far. */
  free(box: Box, room = 4): boolean {
    return this.labels.every(other => !meet(box, other, room))
  }
}

export function meet(a: Box, b: Box, room = 0): boolean {
  return (
    a.x < b.x + b.width + room &&
    b.x < a.x + a.width + room &&
    a.y < b.y + b.height + room &&
    b.y < a.y + a.height + room
  )
}

/** Heights moved apart to at least `gap`, kept within `low` and `high`, in their order and as near as may be to where they were. */
export function movedApart(wanted: readonly number[], gap: number, low: number, high: number): number[] {
  const order = [...wanted.keys()].sort((a, b) => wanted[a]! - wanted[b]!)
  const placed = new Array<number>(wanted.length)
  let least = low
  for (const at of order) {
    placed[at] = Math.max(least, wanted[at]!)
    least = placed[at]! + gap
  }
  let most = high
  for (const at of order.reverse()) {
    placed[at] = Math.min(most, placed[at]!)
    most = placed[at]! - gap
  }
  return placed
}
