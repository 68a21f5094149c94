import { formatNumber } from '../../grammar/units/choose.ts'
import { fromSI } from '../../grammar/units/unit.ts'
import { padded, widthOf } from '../../grammar/width.ts'
import type { MapAnswer, MapPlace, MapRing } from '../map-answer.ts'
import { CAUTIONS } from './cautions.ts'
import { DRAWN } from './characters.ts'
import { listed } from './listed.ts'
import { BLANK, type Ink, type Line, type Piece, piece, TIE, wrap } from './marked.ts'
import type { Layout } from './solve-report.ts'
import { titleLine } from './solve-report.ts'
import { unitNamed } from './target-words.ts'
import { capital } from './verdict.ts'

const ROWS = 22
const LABEL = 9
const MOST_COLUMNS = 71
/** Numbers under the frame. */
const TICKS = 4

interface Marks {
  readonly region: string
  readonly wanted: string
  readonly pad: string
  readonly solution: string
  readonly compromise: string
}

const DRAWN_MARKS: Marks = { region: '░', wanted: '▒', pad: '×', solution: '◆', compromise: '◇' }
const TYPED_MARKS: Marks = { region: '.', wanted: ':', pad: 'x', solution: '*', compromise: 'o' }

/** A trade map in characters: the ground by its letters, each limit's line by one of its own, told beneath. */
export function mapReport(map: MapAnswer, file: string, layout: Layout): readonly Line[] {
  const { width, characters } = layout
  const marks = characters === DRAWN ? DRAWN_MARKS : TYPED_MARKS
  const columns = Math.min(MOST_COLUMNS, width - LABEL - 1)
  const letters = lettersOf(map)
  return [
    ...titleLine(file, map.sheet, width),
    BLANK,
    [piece(capital(map.up))],
    ...frameLines(map, columns, marks, letters, characters.line),
    ...acrossLines(map, columns),
    BLANK,
    ...[...letters].map(([text, letter]): Line => [piece(padded(`  ${letter}`, LABEL - 1)), piece(text)]),
    BLANK,
    ...legend(map, marks).flatMap(words => wrap(words, width).map((line): Line => [piece(line)])),
    BLANK,
    ...wrap(CAUTIONS, width).map((line): Line => [piece(line, 'pencil')]),
  ]
}

/** A letter for each target that has a line. */
function lettersOf(map: MapAnswer): ReadonlyMap<string, string> {
  const texts = [...new Set(map.lines.map(line => line.target))]
  return new Map(texts.map((text, place) => [text, String.fromCodePoint(97 + (place % 26))]))
}

function frameLines(
  map: MapAnswer,
  columns: number,
  marks: Marks,
  letters: ReadonlyMap<string, string>,
  line: string,
): readonly Line[] {
  const cells = ground(map, columns, marks)
  for (const { target, points } of map.lines)
    for (const [column, row] of crossed(map, points, columns))
      cells[row]![column] = piece(letters.get(target)!, 'limit')
  const mark = map.solution ?? map.compromise
  if (mark) {
    const [column, row] = cellOf(map, mark, columns)
    cells[row]![column] = map.solution ? piece(marks.solution, 'strong') : piece(marks.compromise, 'short')
  }
  const [low, high] = map.ranges.up
  const unit = unitNamed(map.units.up)
  const rows = cells.map((row, place): Line => {
    const labelled = place % 5 === 0 || place === ROWS - 1
    const si = high - ((place + 0.5) / ROWS) * (high - low)
    const value = place === 0 ? high : place === ROWS - 1 ? low : si
    const text = labelled ? `${formatNumber(fromSI(value, unit), 3)} ${unit.text}`.trim() : ''
    return [
      piece(`${' '.repeat(Math.max(0, LABEL - 2 - widthOf(text)))}${text} `),
      piece('|', 'pencil'),
      ...joined(row),
    ]
  })
  return [...rows, [piece(' '.repeat(LABEL - 1)), piece(`+${line.repeat(columns)}`, 'pencil')]]
}

/** What lies under each character's middle. */
function ground(map: MapAnswer, columns: number, marks: Marks): Piece[][] {
  const [wanted, region, pad] = [map.wanted, map.region, map.pad].map(insideByHeight)
  return Array.from({ length: ROWS }, (_, row) =>
    Array.from({ length: columns }, (_, column): Piece => {
      const place: MapPlace = [
        between(map.ranges.across, (column + 0.5) / columns),
        between(map.ranges.up, 1 - (row + 0.5) / ROWS),
      ]
      if (wanted!(place)) return piece(marks.wanted, 'room')
      if (region!(place)) return piece(marks.region, 'room')
      return pad!(place) ? piece(marks.pad, 'hatch') : piece(' ')
    }),
  )
}

function between([from, to]: MapPlace, share: number): number {
  return from + share * (to - from)
}

/** The character a place falls on: column, row from the top. */
function cellOf({ ranges }: MapAnswer, [x, y]: MapPlace, columns: number): [number, number] {
  const share = ([from, to]: MapPlace, at: number): number => (at - from) / (to - from)
  const clip = (at: number, count: number): number => Math.min(count - 1, Math.max(0, Math.floor(at * count)))
  return [clip(share(ranges.across, x), columns), clip(1 - share(ranges.up, y), ROWS)]
}

/** The characters that a line runs through. */
function crossed(map: MapAnswer, points: readonly MapPlace[], columns: number): [number, number][] {
  const found = new Map<number, [number, number]>()
  for (let k = 0; k + 1 < points.length; k++) {
    const [[a, b], [c, d]] = [points[k]!, points[k + 1]!]
    const [from, to] = [cellOf(map, [a, b], columns), cellOf(map, [c, d], columns)]
    const steps = Math.max(1, 2 * Math.max(Math.abs(to[0] - from[0]), Math.abs(to[1] - from[1])))
    for (let step = 0; step <= steps; step++) {
      const cell = cellOf(map, [a + ((c - a) * step) / steps, b + ((d - b) * step) / steps], columns)
      found.set(cell[1] * columns + cell[0], cell)
    }
  }
  return [...found.values()]
}

/** Neighbours of one ink in one piece. */
function joined(row: readonly Piece[]): readonly Piece[] {
  const pieces: { text: string; ink: Ink }[] = []
  for (const { text, ink } of row) {
    const last = pieces.at(-1)
    if (last && last.ink === ink) last.text += text
    else pieces.push({ text, ink })
  }
  return pieces
}

function acrossLines(map: MapAnswer, columns: number): readonly Line[] {
  const unit = unitNamed(map.units.across)
  let line = ' '.repeat(LABEL)
  for (let tick = 0; tick <= TICKS; tick++) {
    const text = `${formatNumber(fromSI(between(map.ranges.across, tick / TICKS), unit), 3)} ${unit.text}`.trim()
    const at = LABEL + Math.round((tick / TICKS) * columns) - Math.round((tick / TICKS) * widthOf(text))
    if (at >= widthOf(line)) line = padded(line, at) + text
  }
  const name = capital(map.across)
  return [[piece(line)], [piece(`${' '.repeat(Math.max(LABEL, LABEL + columns - widthOf(name)))}${name}`)]]
}

function legend(map: MapAnswer, marks: Marks): readonly string[] {
  const at = (place: MapPlace): string =>
    [`${map.across} ${shownAt(place[0], map.units.across)}`, `${map.up} ${shownAt(place[1], map.units.up)}`]
      .map(each => each.replaceAll(' ', TIE))
      .join(', ')
  const shoulds = map.lines.some(line => line.level === 'should')
  const others = Object.entries(map.others).map(([name, { text }]) => `${name} ${text}`.replaceAll(' ', TIE))
  return [
    map.region.length === 0 ? 'Nowhere on this map is every must met.' : `${marks.region} every must is met`,
    ...(shoulds && map.wanted.length > 0 ? [`${marks.wanted} every should as well`] : []),
    ...(map.pad.length > 0 ? [`${marks.pad} it never leaves the pad`] : []),
    ...(map.solution ? [`${marks.solution} the solution: ${at(map.solution)}`] : []),
    ...(map.compromise
      ? [`${marks.compromise} the closest compromise, not a setting to fly: ${at(map.compromise)}`]
      : []),
    ...(others.length > 0 ? [`Held: ${listed(others)}.`] : []),
  ]
}

function shownAt(si: number, unit: string): string {
  return `${formatNumber(fromSI(si, unitNamed(unit)), 4)} ${unit}`.trim()
}

/** Whether a place lies inside rings, by the even-odd rule. */
export function insideRings(rings: readonly MapRing[], [x, y]: MapPlace): boolean {
  return before(crossingsAt(rings, y), x)
}

/** The same for many places: what lies across a height is found once for all places there. */
export function insideByHeight(rings: readonly MapRing[]): (place: MapPlace) => boolean {
  const across = new Map<number, readonly number[]>()
  const crossings = (y: number): readonly number[] => {
    const known = across.get(y) ?? crossingsAt(rings, y)
    across.set(y, known)
    return known
  }
  return ([x, y]) => before(crossings(y), x)
}

/** Whether an odd number of crossings lies beyond a place. */
function before(crossings: readonly number[], x: number): boolean {
  let odd = false
  for (const crossing of crossings) if (x < crossing) odd = !odd
  return odd
}

/** Where the sides of rings cross a height. */
function crossingsAt(rings: readonly MapRing[], y: number): readonly number[] {
  const found: number[] = []
  for (const ring of rings) {
    for (let k = 0; k + 1 < ring.length; k++) {
      const [a, b] = ring[k]!
      const [c, d] = ring[k + 1]!
      if (b > y !== d > y) found.push(a + ((y - b) / (d - b)) * (c - a))
    }
  }
  return found
}
