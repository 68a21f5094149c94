import type { VariantColumn } from '../variants/answer.ts'
import type { Fate, TallyState } from '../variants/tally.ts'
import type { Picture } from './flight-picture.ts'
import { cut, Sheet, widthOfWords } from './label.ts'
import { element, path, pictureOf } from './svg.ts'
import type { Theme } from './theme.ts'

/** What a picture of many variants is made from: how they ended, by two of the columns that vary. */
export interface VariantsSubject {
  readonly sheet: string
  readonly columns: readonly VariantColumn[]
  readonly tally: TallyState
  readonly across: number
  /** Null where only one quantity varies: then the picture is one row. */
  readonly up: number | null
  readonly theme: Theme
  /** As part of a page: so wide [px], without the title, which the page has itself. */
  readonly part?: { readonly width: number }
}

/** Left edge and top of the cells in a picture of its own, and in one that is a part of a page. */
const EDGES = { whole: { edge: 40, top: 150 }, part: { edge: 2, top: 34 } } as const
const SIZE = 14
/** All cells together are no wider or higher than this, and one no larger than that. [px] */
const ROOM = 720
const LARGEST = 64
const SMALLEST = 6
const LEAST_WIDTH = 720
/** Room for half of the last value [px]. */
const MARGIN = 16
/** Letters of a name at an axis. */
const LONGEST = 40

const FATES: readonly (readonly [Fate, string])[] = [
  ['met', 'every target met'],
  ['solved', 'every must met'],
  ['conflict', 'conflict'],
  ['unsure', 'unsure'],
  ['faulty', 'faulty'],
]

interface Grid {
  readonly edge: number
  readonly top: number
  readonly x: readonly string[]
  readonly y: readonly string[]
  readonly left: number
  readonly width: number
  readonly height: number
}

/** A matrix of two varied quantities; each cell is shared out among its variants by how they ended. */
export function variantsPicture(subject: VariantsSubject): Picture {
  const { sheet: title, columns, tally, across, up, theme, part } = subject
  const { edge, top: below } = part ? EDGES.part : EDGES.whole
  // One row has no name above it.
  const top = part && up === null ? edge : below
  const keys = Object.keys(tally.cells).map(key => key.split('\n') as [string, string])
  const x = inOrder(keys.map(([value]) => value))
  const y = inOrder(keys.map(([, value]) => value)).toReversed()
  const left = edge + (up === null ? 0 : 12 + Math.max(...y.map(value => widthOfWords(told(value), { size: SIZE }))))
  const room = part ? part.width - left - edge - MARGIN : ROOM
  const least = part ? 1 : SMALLEST
  const side = (many: number, space: number): number => Math.max(least, Math.min(LARGEST, space / many))
  const grid: Grid = { edge, top, x, y, left, width: side(x.length, room), height: side(y.length, ROOM) }
  const sheet = new Sheet()
  const width = part?.width ?? Math.max(LEAST_WIDTH, left + x.length * grid.width + 40)
  const bottom = top + y.length * grid.height
  const rows = sampleRows(tally, edge, width)
  const height = bottom + 90 + rows.length * SAMPLE_ROW
  if (!part) heading(sheet, subject, width)
  cells(sheet, tally, grid, theme)
  axes(sheet, grid, theme)
  const words = { size: 16, hand: 'words' as const, ink: theme.ink }
  if (up !== null) sheet.write(cut(named(columns[up]!), LONGEST), edge, top - 14, words)
  sheet.write(cut(named(columns[across]!), LONGEST), left, bottom + 46, words)
  samples(sheet, rows, bottom + 84, theme)
  const svg = pictureOf(
    width,
    height,
    `${title}: variants by ${axesWords(subject)}`,
    element('rect', { width, height, fill: theme.ground }),
    ...sheet.marks,
  )
  return { svg, width, height, labels: sheet.labels }
}

function axesWords({ columns, across, up }: VariantsSubject): string {
  return [across, up].flatMap(place => (place === null ? [] : [columns[place]!.name])).join(' and ')
}

/** Numbers rising, words as they came. */
function inOrder(values: readonly string[]): readonly string[] {
  const distinct = [...new Set(values)]
  return distinct.every(value => value !== '' && Number.isFinite(Number(value)))
    ? distinct.sort((a, b) => Number(a) - Number(b))
    : distinct
}

function told(value: string): string {
  return value === '' ? 'none' : value
}

function named({ name, unit }: VariantColumn): string {
  return unit === '' ? name : `${name}, ${unit}`
}

function heading(sheet: Sheet, subject: VariantsSubject, width: number): void {
  const { sheet: title, tally, theme, columns } = subject
  const { edge } = EDGES.whole
  sheet.draw(element('rect', { x: edge, y: 28, width: width - 2 * edge, height: 4, fill: theme.ink }))
  const short = [...title].length > 46 ? `${[...title].slice(0, 45).join('')}…` : title
  sheet.write(short, edge, 70, { size: 28, hand: 'words', ink: theme.ink })
  const { solved, conflict, unsure, faulty } = tally.outcomes
  const total = (solved + conflict + unsure + faulty).toLocaleString('en')
  const shared =
    columns.filter(({ role }) => role === 'varied').length > 2 ? ' Cells are shared out among their variants.' : ''
  sheet.write(
    `${total} variants by ${axesWords(subject)}; ${solved.toLocaleString('en')} solved.${shared}`,
    edge,
    100,
    { size: 16, hand: 'words', ink: theme.pencil },
  )
}

function cells(sheet: Sheet, { cells: counts }: TallyState, grid: Grid, theme: Theme): void {
  const { x, y, left, top, width, height } = grid
  y.forEach((upper, row) => {
    x.forEach((lower, column) => {
      const count = counts[`${lower}\n${upper}`]
      if (!count) return
      const total = FATES.reduce((sum, [fate]) => sum + count[fate], 0)
      let from = left + column * width
      for (const [fate] of FATES) {
        const wide = (width * count[fate]) / total
        if (wide > 0) sheet.draw(...fill(fate, from, top + row * height, wide, height, theme))
        from += wide
      }
    })
  })
}

/** Pattern with ink, so that it reads in grey: lined wash, thicker where all is met; crosses; dots; one slant. */
function fill(fate: Fate, x: number, y: number, w: number, h: number, theme: Theme): readonly string[] {
  const ground = (colour: string) => element('rect', { x, y, width: w, height: h, fill: colour })
  const lines = (d: string, ink: string, wide: number) =>
    element('path', { d, stroke: ink, 'stroke-width': wide, fill: 'none' })
  switch (fate) {
    case 'met':
      return [
        ground(theme.wash),
        element('rect', { x, y, width: w, height: h, fill: theme.room, 'fill-opacity': 0.45 }),
      ]
    case 'solved':
      return [ground(theme.wash), lines(slants(x, y, w, h, false), theme.room, 0.8)]
    case 'conflict':
      return [ground(theme.field), lines(slants(x, y, w, h, false) + slants(x, y, w, h, true), theme.short, 1)]
    case 'unsure':
      return [ground(theme.field), element('path', { d: dots(x, y, w, h), fill: theme.limit })]
    case 'faulty':
      return [
        ground(theme.field),
        lines(
          path([
            [x, y + h],
            [x + w, y],
          ]),
          theme.pencil,
          1.2,
        ),
      ]
  }
}

const APART = 6

/** Slanting lines through a box, cut at its edges, on one grid for all boxes. */
function slants(x: number, y: number, w: number, h: number, other: boolean): string {
  let d = ''
  // Lines u + v = k (or u − v = k), k a multiple of APART.
  const [low, high] = other ? [x - (y + h), x + w - y] : [x + y, x + w + y + h]
  for (let k = Math.ceil(low / APART) * APART; k < high; k += APART) {
    const at = (u: number): number => (other ? u - k : k - u)
    const ends = [x, x + w]
      .map(u => [u, at(u)] as const)
      .concat([y, y + h].map(v => [other ? v + k : k - v, v] as const))
    const inside = ends.filter(([u, v]) => u >= x - 1e-9 && u <= x + w + 1e-9 && v >= y - 1e-9 && v <= y + h + 1e-9)
    const [first, last] = [inside[0], inside.find(([u]) => Math.abs(u - inside[0]![0]) > 1e-6)]
    if (first && last) d += path([first, last])
  }
  return d
}

function dots(x: number, y: number, w: number, h: number): string {
  let d = ''
  for (let v = y + 3; v < y + h - 1; v += APART)
    for (let u = x + 3; u < x + w - 1; u += APART)
      d += `M${u.toFixed(1)} ${v.toFixed(1)}m-1 0a1 1 0 1 0 2 0a1 1 0 1 0 -2 0`
  return d
}

/** The frame, hair lines between cells, and as many values as have room. */
function axes(sheet: Sheet, { x, y, left, top, width, height }: Grid, theme: Theme): void {
  const [right, bottom] = [left + x.length * width, top + y.length * height]
  const hair = [
    ...x.slice(1).map((_, k) =>
      path([
        [left + (k + 1) * width, top],
        [left + (k + 1) * width, bottom],
      ]),
    ),
    ...y.slice(1).map((_, k) =>
      path([
        [left, top + (k + 1) * height],
        [right, top + (k + 1) * height],
      ]),
    ),
  ]
  if (width > 10 && height > 10)
    sheet.draw(element('path', { d: hair.join(''), stroke: theme.ground, 'stroke-width': 1 }))
  sheet.draw(
    element('rect', {
      x: left,
      y: top,
      width: right - left,
      height: bottom - top,
      fill: 'none',
      stroke: theme.ink,
      'stroke-width': 1.5,
    }),
  )
  const widest = Math.max(...x.map(value => widthOfWords(told(value), { size: SIZE }))) + 10
  const everyX = Math.ceil(widest / width)
  const everyY = Math.ceil((SIZE + 4) / height)
  const style = { size: SIZE, ink: theme.pencil }
  x.forEach((value, k) => {
    if (k % everyX === 0)
      sheet.write(told(value), left + (k + 0.5) * width, bottom + 20, { ...style, anchor: 'middle' })
  })
  y.forEach((value, k) => {
    if ((y.length - 1 - k) % everyY === 0)
      sheet.write(told(value), left - 8, top + (k + 0.5) * height + 5, { ...style, anchor: 'end' })
  })
}

const SAMPLE_ROW = 28

/** What the patterns mean, those that occur, in rows that fit the width: each with its place from the left. */
function sampleRows(
  { cells: counts }: TallyState,
  edge: number,
  width: number,
): readonly (readonly { readonly fate: Fate; readonly words: string; readonly x: number }[])[] {
  const rows: { fate: Fate; words: string; x: number }[][] = [[]]
  let x = edge
  for (const [fate, words] of FATES) {
    if (!Object.values(counts).some(count => count[fate] > 0)) continue
    const wide = 32 + widthOfWords(words, { size: 15 })
    if (x > edge && x + wide > width - edge) {
      rows.push([])
      x = edge
    }
    rows.at(-1)!.push({ fate, words, x })
    x += wide + 28
  }
  return rows
}

function samples(sheet: Sheet, rows: ReturnType<typeof sampleRows>, from: number, theme: Theme): void {
  rows.forEach((row, k) => {
    const y = from + k * SAMPLE_ROW
    for (const { fate, words, x } of row) {
      sheet.draw(...fill(fate, x, y, 24, 16, theme))
      sheet.draw(element('rect', { x, y, width: 24, height: 16, fill: 'none', stroke: theme.ink, 'stroke-width': 1 }))
      sheet.write(words, x + 32, y + 13, { size: 15, ink: theme.ink })
    }
  })
}
