import type { Characters } from './characters.ts'
import { type Ink, type Line, type Piece, piece } from './marked.ts'
import type { Scale } from './scale.ts'

/** A margin scale drawn in so many columns: hatching where one may not stand, ticks, the mark, the room or overshoot. */
export function gauge(scale: Scale, width: number, characters: Characters): Line {
  const cells: Piece[] = Array.from({ length: width }, () => piece(characters.line))
  const column = (place: number) => Math.min(width - 1, Math.max(0, Math.floor(place * width)))
  const draw = (from: number, to: number, text: string, ink: Ink) => {
    for (let at = from; at <= to; at++) cells[at] = piece(text, ink)
  }
  for (const [from, to] of scale.forbidden) {
    // The column of the limit itself is left to its tick.
    draw(from === 0 ? 0 : column(from) + 1, to === 1 ? width - 1 : column(to) - 1, characters.hatch, 'hatch')
  }
  const ticks = scale.ticks.map(column)
  const mark = scale.mark === null ? null : markColumn(scale, column(scale.mark), ticks, width)
  if (mark !== null) {
    const stretch = scale.room ?? scale.overshoot
    const ends = stretch?.map(column) ?? [mark, mark]
    // From the mark as it is drawn to the far end of the stretch.
    const far = Math.abs(ends[0]! - mark) > Math.abs(ends[1]! - mark) ? ends[0]! : ends[1]!
    const [text, ink] = scale.room ? [characters.room, 'room' as const] : [characters.overshoot, 'short' as const]
    draw(Math.min(mark, far), Math.max(mark, far), text, ink)
  }
  for (const tick of ticks) cells[tick] = piece(characters.limit, 'strong')
  if (mark !== null) cells[mark] = piece(characters.mark, 'strong')
  if (scale.beyond === 'left') cells[0] = piece(characters.beyondLeft, 'strong')
  if (scale.beyond === 'right') cells[width - 1] = piece(characters.beyondRight, 'strong')
  return joined(cells)
}

/** The mark's column: inside the chevron of one that is further out, and never on a tick unless it stands exactly there. */
function markColumn(scale: Scale, column: number, ticks: readonly number[], width: number): number {
  if (scale.beyond === 'left') return 1
  if (scale.beyond === 'right') return width - 2
  const tick = ticks.indexOf(column)
  if (tick < 0) return column
  const side = sideOf(scale, scale.ticks[tick]!)
  return column + side
}

/** On which side of its tick a near mark belongs: −1, 0 where a single value is asked for and met, or 1. */
function sideOf(scale: Scale, tick: number): number {
  const mark = scale.mark!
  const hatched = (place: number) => scale.forbidden.some(([from, to]) => place >= from && place <= to)
  const both = hatched(tick - 1e-6) && hatched(tick + 1e-6)
  if (both) return scale.room ? 0 : mark < tick ? -1 : 1
  if (scale.ticks.length === 1 && scale.forbidden.length === 2) return 0
  const right = hatched(tick + 1e-6)
  return scale.room ? (right ? -1 : 1) : right ? 1 : -1
}

/** Neighbours of one ink made one piece. */
function joined(cells: readonly Piece[]): Line {
  const pieces: Piece[] = []
  for (const cell of cells) {
    const last = pieces.at(-1)
    if (last && last.ink === cell.ink) pieces[pieces.length - 1] = piece(last.text + cell.text, cell.ink)
    else pieces.push(cell)
  }
  return pieces
}
