import { formatNumber, formatQuantity } from '../../grammar/units/choose.ts'
import { fromSI } from '../../grammar/units/unit.ts'
import type { FrontAnswer } from '../map-answer.ts'
import { unitNamed } from '../report/target-words.ts'
import type { Picture } from './flight-picture.ts'
import { type Box, boxOf, cut, Sheet } from './label.ts'
import { type Linear, linear } from './linear.ts'
import { element, path, pictureOf } from './svg.ts'
import type { Theme } from './theme.ts'

/** What a picture of a front is made from. */
export interface FrontSubject {
  readonly front: FrontAnswer
  readonly theme: Theme
  /** What the picture is made from, told at its foot. */
  readonly source: string
}

const WIDTH = 1080
const HEIGHT = 760
const LEFT = 104
const RIGHT = 1010
const TOP = 176
const BOTTOM = 640
const MOST_TITLE = 60

type Screen = readonly [number, number]

/** The front of two aims: the settings as marks on a line, the knee a larger one, the settings at both ends and at the knee in words. */
export function frontPicture({ front, theme, source }: FrontSubject): Picture {
  const sheet = new Sheet()
  heading(sheet, front, theme)
  const [first, second] = [axisOf(front, 0), axisOf(front, 1)]
  const x = linear(first.domain, [LEFT, RIGHT])
  const y = linear(second.domain, [BOTTOM, TOP])
  const places = front.points.map(({ aims }): Screen => [x(first.shown(aims[0])), y(second.shown(aims[1]))])
  const frame = { x: LEFT, y: TOP, width: RIGHT - LEFT, height: BOTTOM - TOP }
  sheet.draw(
    element('rect', { ...frame, fill: theme.field, stroke: theme.ink, 'stroke-width': 1.5 }),
    element('path', { d: path(places), fill: 'none', stroke: theme.ink, 'stroke-width': 2 }),
  )
  ticks(sheet, x, y, theme)
  sheet.write(told(first), (LEFT + RIGHT) / 2, BOTTOM + 50, {
    size: 18,
    hand: 'words',
    anchor: 'middle',
    ink: theme.ink,
  })
  sheet.write(told(second), 40, TOP - 20, { size: 18, hand: 'words', ink: theme.ink })
  places.forEach((place, k) => {
    if (k !== front.knee) sheet.draw(mark(place, 5, theme.ink, theme))
  })
  if (front.knee !== null) sheet.draw(mark(places[front.knee]!, 11, theme.limit, theme))
  labels(sheet, front, places, theme)
  sheet.write('A paper study; the range safety officer decides.', 40, HEIGHT - 26, { size: 15, ink: theme.pencil })
  sheet.write(cut(source, 70), RIGHT, HEIGHT - 26, { size: 15, anchor: 'end', ink: theme.pencil })
  const svg = pictureOf(
    WIDTH,
    HEIGHT,
    `${front.sheet}: the front of ${front.aims.join(' and ')}`,
    element('rect', { width: WIDTH, height: HEIGHT, fill: theme.ground }),
    ...sheet.marks,
  )
  return { svg, width: WIDTH, height: HEIGHT, labels: sheet.labels }
}

function heading(sheet: Sheet, front: FrontAnswer, theme: Theme): void {
  sheet.draw(element('rect', { x: 40, y: 28, width: WIDTH - 80, height: 4, fill: theme.ink }))
  sheet.write(cut(front.sheet, MOST_TITLE), 40, 76, { size: 30, hand: 'words', ink: theme.ink })
  sheet.write('Each mark is a setting at which neither aim can improve without the other losing.', 40, 108, {
    size: 18,
    hand: 'words',
    ink: theme.pencil,
  })
}

interface Axis {
  readonly aim: string
  readonly unit: string
  readonly shown: (si: number) => number
  readonly domain: [number, number]
}

/** One aim as an axis, with room for words at both ends. */
function axisOf({ aims, units, points }: FrontAnswer, place: 0 | 1): Axis {
  const unit = unitNamed(units[place] ?? '')
  const shown = (si: number): number => fromSI(si, unit)
  const values = points.map(point => shown(point.aims[place]))
  const [low, high] = [Math.min(...values), Math.max(...values)]
  const room = high > low ? 0.16 * (high - low) : 0.05 * Math.abs(high) || 1
  return { aim: aims[place] ?? '', unit: unit.text, shown, domain: [low - room, high + room] }
}

function told({ aim, unit }: Axis): string {
  return unit === '' ? aim : `${aim}, ${unit}`
}

function ticks(sheet: Sheet, x: Linear, y: Linear, theme: Theme): void {
  const style = { size: 14, ink: theme.pencil }
  const line = { stroke: theme.ink, 'stroke-width': 1.5 }
  for (const tick of x.ticks(8)) {
    sheet.draw(element('line', { x1: x(tick), x2: x(tick), y1: BOTTOM, y2: BOTTOM + 6, ...line }))
    sheet.write(formatNumber(tick, 5), x(tick), BOTTOM + 22, { ...style, anchor: 'middle' })
  }
  for (const tick of y.ticks(8)) {
    sheet.draw(element('line', { x1: LEFT - 6, x2: LEFT, y1: y(tick), y2: y(tick), ...line }))
    sheet.write(formatNumber(tick, 5), LEFT - 10, y(tick) + 5, { ...style, anchor: 'end' })
  }
}

function mark([x, y]: Screen, size: number, ink: string, theme: Theme): string {
  const corners: readonly Screen[] = [
    [x, y - size],
    [x + size, y],
    [x, y + size],
    [x - size, y],
  ]
  return element('path', { d: `${path(corners)}Z`, fill: ink, stroke: theme.field, 'stroke-width': 1.5 })
}

/** The settings at both ends and at the knee, each where its words stand free. */
function labels(sheet: Sheet, front: FrontAnswer, places: readonly Screen[], theme: Theme): void {
  const last = front.points.length - 1
  if (front.knee !== null)
    label(
      sheet,
      places[front.knee]!,
      [`knee: ${beyond(front, front.knee)}`, settingsOf(front, front.knee)],
      places,
      theme.limit,
    )
  const ends = last > 0 ? [0, last] : [0]
  for (const end of ends) {
    const [one, two] = front.points[end]!.texts
    if (end !== front.knee) label(sheet, places[end]!, [`${one}, ${two}`, settingsOf(front, end)], places, theme.ink)
  }
}

function settingsOf(front: FrontAnswer, place: number): string {
  return Object.entries(front.points[place]!.settings)
    .map(([name, { text }]) => `${name} ${text}`)
    .join(', ')
}

/** What one more unit of the second aim costs in the first, beyond the knee: "beyond here each 1 km costs 1.4 kg". */
function beyond({ points, units }: FrontAnswer, knee: number): string {
  const [from, to] = [points[knee]!, points.at(-1)!]
  const [first, second] = units.map(each => unitNamed(each ?? ''))
  const one = 10 ** Math.floor(Math.log10(Math.abs(fromSI(to.aims[1] - from.aims[1], second!)) / 10 || 1))
  const by = Math.abs((to.aims[0] - from.aims[0]) / fromSI(to.aims[1] - from.aims[1], second!)) * one
  if (!Number.isFinite(by)) return 'the trade turns here'
  const each = `${formatNumber(one, 1)}${second!.text === '' ? '' : ` ${second!.text}`}`
  return `beyond here each ${each} costs ${formatQuantity(by, first!, 2)}`
}

function label(
  sheet: Sheet,
  [x, y]: Screen,
  words: readonly [string, string],
  places: readonly Screen[],
  ink: string,
): void {
  const lines = words.map(each => cut(each, 60))
  const bold = { size: 16, bold: true, ink }
  const plain = { size: 15, ink }
  const widest = Math.max(boxOf(lines[0]!, 0, 0, bold).width, boxOf(lines[1]!, 0, 0, plain).width)
  const offers: readonly Screen[] = [18, 34, 60, 90, 130].flatMap((off): Screen[] => [
    [x + off, y + off + 6],
    [x - off - widest, y - off - 12],
    [x + off, y - off - 12],
    [x - off - widest, y + off + 6],
  ])
  const free = offers.find(([left, top]) => {
    const box: Box = { x: left, y: top - 16, width: widest, height: 38 }
    const inside = left > LEFT + 6 && left + widest < RIGHT - 6 && box.y > TOP + 4 && box.y + 38 < BOTTOM - 4
    const clear = places.every(
      ([a, b]) => a < left - 8 || a > left + widest + 8 || b < box.y - 8 || b > box.y + box.height + 8,
    )
    return inside && clear && sheet.free(box)
  })
  if (!free) return
  sheet.write(lines[0]!, free[0], free[1], bold)
  sheet.write(lines[1]!, free[0], free[1] + 18, plain)
}
