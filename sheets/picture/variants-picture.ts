import type { VariantColumn } from '../variants/answer.ts'
import type { Fate, TallyState } from '../variants/tally.ts'
import type { Picture } from './flight-picture.ts'
import { Sheet, widthOfWords } from './label.ts'
import { element, escaped, path } from './svg.ts'
import type { Theme } from './theme.ts'

/** What a picture of many variants is made from: how they ended, by two of the columns that vary. */
export interface VariantsSubject {
  readonly sheet: string
  readonly columns: readonly VariantColumn[]
  readonly tally: TallyState
  readonly across: number
  readonly up: number
  readonly theme: Theme
}

const LEFT_EDGE = 40
const TOP = 150
const SIZE = 14
/** All cells together are no wider or higher than this, and one no larger than that. [px] */
const ROOM = 720
const LARGEST = 64
const SMALLEST = 6
const LEAST_WIDTH = 720

const FATES: readonly (readonly [Fate, string])[] = [
  ['met', 'every target met'],
  ['solved', 'every must met'],
  ['conflict', 'conflict'],
  ['unsure', 'unsure'],
  ['faulty', 'faulty'],
]

interface Grid {
  readonly x: readonly string[]
  readonly y: readonly string[]
  readonly left: number
  readonly width: number
  readonly height: number
}

/** A matrix of two varied quantities; each cell is shared out among its variants by how they ended. */
export function variantsPicture(subject: VariantsSubject): Picture {
  const { sheet: title, columns, tally, across, up, theme } = subject
  const keys = Object.keys(tally.cells).map(key => key.split('\n') as [string, string])
  const x = inOrder(keys.map(([value]) => value))
  const y = inOrder(keys.map(([, value]) => value)).toReversed()
  const side = (many: number): number => Math.max(SMALLEST, Math.min(LARGEST, ROOM / many))
  const left = LEFT_EDGE + 12 + Math.max(...y.map(value => widthOfWords(told(value), { size: SIZE })))
  const grid: Grid = { x, y, left, width: side(x.length), height: Math.min(side(y.length), LARGEST) }
  const sheet = new Sheet()
  const width = Math.max(LEAST_WIDTH, left + x.length * grid.width + 40)
  const bottom = TOP + y.length * grid.height
  const height = bottom + 118
  heading(sheet, subject, width)
  cells(sheet, tally, grid, theme)
  axes(sheet, grid, theme)
  sheet.write(named(columns[up]!), LEFT_EDGE, TOP - 14, { size: 16, hand: 'words', ink: theme.ink })
  sheet.write(named(columns[across]!), left, bottom + 46, { size: 16, hand: 'words', ink: theme.ink })
  samples(sheet, tally, bottom + 84, theme)
  const svg = element(
    'svg',
    { xmlns: 'http://www.w3.org/2000/svg', viewBox: `0 0 ${width} ${height}`, width, height, role: 'img' },
    element('title', {}, escaped(`${title}: variants by ${columns[across]!.name} and ${columns[up]!.name}`)),
    element('rect', { width, height, fill: theme.ground }),
    ...sheet.marks,
  )
  return { svg: `${svg}\n`, width, height, labels: sheet.labels }
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

function heading(
  sheet: Sheet,
  { sheet: title, tally, theme, columns, across, up }: VariantsSubject,
  width: number,
): void {
  sheet.draw(element('rect', { x: LEFT_EDGE, y: 28, width: width - 2 * LEFT_EDGE, height: 4, fill: theme.ink }))
  const short = [...title].length > 46 ? `${[...title].slice(0, 45).join('')}…` : title
  sheet.write(short, LEFT_EDGE, 70, { size: 28, hand: 'words', ink: theme.ink })
  const { solved, conflict, unsure, faulty } = tally.outcomes
  const total = (solved + conflict + unsure + faulty).toLocaleString('en')
  const shared =
    columns.filter(({ role }) => role === 'varied').length > 2 ? ' Cells are shared out among their variants.' : ''
  sheet.write(
    `${total} variants by ${columns[across]!.name} and ${columns[up]!.name}; ${solved.toLocaleString('en')} solved.${shared}`,
    LEFT_EDGE,
    100,
    { size: 16, hand: 'words', ink: theme.pencil },
  )
}

function cells(sheet: Sheet, { cells: counts }: TallyState, grid: Grid, theme: Theme): void {
  const { x, y, left, width, height } = grid
  y.forEach((upper, row) => {
    x.forEach((lower, column) => {
      const count = counts[`${lower}\n${upper}`]
      if (!count) return
      const total = FATES.reduce((sum, [fate]) => sum + count[fate], 0)
      let from = left + column * width
      for (const [fate] of FATES) {
        const wide = (width * count[fate]) / total
        if (wide > 0) sheet.draw(...fill(fate, from, TOP + row * height, wide, height, theme))
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
function axes(sheet: Sheet, { x, y, left, width, height }: Grid, theme: Theme): void {
  const [right, bottom] = [left + x.length * width, TOP + y.length * height]
  const hair = [
    ...x.slice(1).map((_, k) =>
      path([
        [left + (k + 1) * width, TOP],
        [left + (k + 1) * width, bottom],
      ]),
    ),
    ...y.slice(1).map((_, k) =>
      path([
        [left, TOP + (k + 1) * height],
        [right, TOP + (k + 1) * height],
      ]),
    ),
  ]
  if (width > 10 && height > 10)
    sheet.draw(element('path', { d: hair.join(''), stroke: theme.ground, 'stroke-width': 1 }))
  sheet.draw(
    element('rect', {
      x: left,
      y: TOP,
      width: right - left,
      height: bottom - TOP,
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
      sheet.write(told(value), left - 8, TOP + (k + 0.5) * height + 5, { ...style, anchor: 'end' })
  })
}

/** What the patterns mean, those that occur. */
function samples(sheet: Sheet, { cells: counts }: TallyState, y: number, theme: Theme): void {
  let x = LEFT_EDGE
  for (const [fate, words] of FATES) {
    if (!Object.values(counts).some(count => count[fate] > 0)) continue
    sheet.draw(...fill(fate, x, y, 24, 16, theme))
    sheet.draw(element('rect', { x, y, width: 24, height: 16, fill: 'none', stroke: theme.ink, 'stroke-width': 1 }))
    sheet.write(words, x + 32, y + 13, { size: 15, ink: theme.ink })
    x += 32 + widthOfWords(words, { size: 15 }) + 28
  }
}
