import { ticks } from 'd3-array'
import { formatNumber } from '../../grammar/units/choose.ts'
import { fromSI, toSI } from '../../grammar/units/unit.ts'
import type { MapAnswer, MapPlace, MapRing } from '../map-answer.ts'
import { insideRings } from '../report/map-report.ts'
import { unitNamed } from '../report/target-words.ts'
import type { Picture } from './flight-picture.ts'
import { boxOf, cut, Sheet } from './label.ts'
import { type MapFrame, type Screen, screenOf } from './map-frame.ts'
import { ground, patterns } from './map-ground.ts'
import { drawLine, drawnLines, lineLabels, type MapSubject } from './map-lines.ts'
import { element, pictureOf, short } from './svg.ts'
import type { Theme } from './theme.ts'

/** The part of a map that its detail enlarges [SI]. */
export type MapWindow = MapAnswer['ranges']

/** Ground of a larger share of the frame needs no detail. */
const LARGEST = 0.1
/** A mark farther than this share of the frame from a ground does not stand at it. */
const NEAR = 0.03
/** The share of each range that the detail shows: an eighth at least, a third at most. */
const SHARES = [1 / 8, 1 / 3] as const
/** More places on steps than this are no help to the eye. */
const MOST_DOTS = 700

/** What the detail enlarges: the ground by the solution, where that is small; null where there is none, or where it can be seen as it is. */
export function detailOf(map: MapAnswer): MapWindow | null {
  if (!map.solution) return null
  const share = sharesOf(map.ranges)
  const mark = share(map.solution)
  const at = [map.wanted, map.region]
    .flatMap(rings => rings.map(ring => ring.map(share)))
    .find(ring => insideRings([ring], mark) || distance(ring, mark) < NEAR)
  if (!at || area(at) >= LARGEST) return null
  const ends = [0, 1].map(axis => {
    const values = at.map(place => place[axis as 0 | 1])
    return [Math.min(...values), Math.max(...values)] as const
  })
  const size = Math.min(SHARES[1], Math.max(SHARES[0], ...ends.map(([low, high]) => 1.4 * (high - low))))
  const [across, up] = ends.map(([low, high], axis): MapPlace => {
    // The middle of the ground, as far as the mark stays well inside.
    const here = mark[axis as 0 | 1]
    const middle = Math.min(here + 0.35 * size, Math.max(here - 0.35 * size, (low + high) / 2))
    const from = Math.min(1 - size, Math.max(0, middle - size / 2))
    return [from, from + size]
  })
  const inSI = ([from, to]: MapPlace, [a, b]: MapPlace): MapPlace => [a + from * (b - a), a + to * (b - a)]
  return { across: inSI(across!, map.ranges.across), up: inSI(up!, map.ranges.up) }
}

/** Places as shares of both ranges. */
function sharesOf({ across: [a, b], up: [c, d] }: MapWindow): (place: MapPlace) => MapPlace {
  return ([x, y]) => [(x - a) / (b - a), (y - c) / (d - c)]
}

/** The area of a closed ring, by the trapezoids below its sides. */
function area(ring: MapRing): number {
  let sum = 0
  for (let k = 0; k + 1 < ring.length; k++) {
    const [[a, b], [c, d]] = [ring[k]!, ring[k + 1]!]
    sum += ((c - a) * (b + d)) / 2
  }
  return Math.abs(sum)
}

function distance(ring: MapRing, [x, y]: MapPlace): number {
  return Math.min(...ring.map(([a, b]) => Math.hypot(a - x, b - y)))
}

/** The frame of the detail on the map, in a long and short line, with its letter beside it. */
export function outlineDetail(sheet: Sheet, window: MapWindow, at: (place: MapPlace) => Screen, theme: Theme): void {
  const [left, top] = at([window.across[0], window.up[1]])
  const [right, bottom] = at([window.across[1], window.up[0]])
  const box = { x: left, y: top, width: right - left, height: bottom - top }
  sheet.draw(
    element('rect', { ...box, fill: 'none', stroke: theme.ink, 'stroke-width': 1.2, 'stroke-dasharray': '14 4 4 4' }),
  )
  const style = { size: 17, bold: true, anchor: 'middle' as const, ink: theme.ink }
  const places: readonly Screen[] = [
    [left - 12, bottom - 2],
    [left - 12, top + 14],
    [left + 12, bottom + 18],
    [left + 12, top - 6],
  ]
  const place = places.find(([x, y]) => sheet.free(boxOf('A', x, y, style), 2)) ?? places[0]!
  // On the field's own colour, since lines run everywhere here.
  const { x, y, width, height } = boxOf('A', place[0], place[1], style)
  sheet.draw(element('rect', { x: x - 2, y: y - 1, width: width + 4, height, fill: theme.field }))
  sheet.write('A', place[0], place[1], style)
}

/** Where a detail is drawn: its left edge, the top of its frame, its width with labels [px]. */
interface Spot {
  readonly edge: number
  readonly top: number
  readonly width: number
}

const [AXIS, LABELS, FOOT] = [44, 116, 60]
const SAMPLE = 24

/** Draws the enlarged part of a map, with the settings on steps in it; gives its frame. */
export function drawDetail(
  sheet: Sheet,
  subject: MapSubject,
  window: MapWindow,
  { edge, top, width }: Spot,
  prefix: string,
): MapFrame {
  const { theme } = subject
  const [left, right] = [edge + AXIS, edge + width - LABELS]
  const bottom = top + (right - left)
  const frame: MapFrame = {
    ...{ width: edge + width, height: bottom + FOOT, left, right, top, bottom },
    ...{ margin: right + 14, roomy: false, whole: false },
  }
  const lines = subject.map.lines.flatMap(line => cutTo(line.points, window).map(points => ({ ...line, points })))
  const map: MapAnswer = { ...subject.map, ranges: window, lines, aim: null }
  const part: MapSubject = { ...subject, map }
  const at = screenOf(map, frame)
  const box = { x: left, y: top, width: right - left, height: bottom - top }
  sheet.draw(element('clipPath', { id: `${prefix}frame` }, element('rect', box)))
  sheet.draw(element('rect', { ...box, fill: theme.field }))
  const drawn = drawnLines(part, at)
  const before = sheet.marks.length
  ground(sheet, map, at, theme, prefix)
  for (const line of drawn) drawLine(sheet, part, line)
  for (const place of onSteps(subject.map, window)) sheet.draw(dot(subject.map, place, at(place), theme))
  if (!subject.part && map.solution) sheet.draw(lozenge(at(map.solution), theme))
  const inside = sheet.marks.splice(before)
  sheet.draw(element('g', { 'clip-path': `url(#${prefix}frame)` }, ...inside))
  sheet.draw(element('rect', { ...box, fill: 'none', stroke: theme.ink, 'stroke-width': 1.5 }))
  sheet.write('A', edge, top - 44, { size: 17, bold: true, ink: theme.ink })
  sheet.write('the ground by the solution, enlarged', edge + 20, top - 44, { size: 16, hand: 'words', ink: theme.ink })
  axes(sheet, map, at, theme, { ...frame, width: edge })
  lineLabels(sheet, part, drawn, frame)
  return { ...frame, height: samples(sheet, map, edge, bottom + FOOT + 8, theme) }
}

/** The detail of a map as a picture of its own, so wide [px]; null where there is none. */
export function detailPicture(
  subject: MapSubject,
  width: number,
): (Picture & { readonly frame: MapFrame; readonly window: MapWindow }) | null {
  const window = detailOf(subject.map)
  if (!window) return null
  const { theme, map } = subject
  const sheet = new Sheet()
  const frame = drawDetail(sheet, subject, window, { edge: 2, top: 64, width: width - 2 }, 'detail-')
  const { height } = frame
  const svg = pictureOf(
    width,
    height,
    `${map.sheet}: detail A of the trade map`,
    element('defs', {}, ...patterns(theme, 'detail-')),
    element('rect', { width, height, fill: theme.ground }),
    ...sheet.marks,
  )
  return { svg, width, height, labels: sheet.labels, frame, window }
}

/** The stretches of a line inside a window (Liang and Barsky 1984, each side in turn). */
function cutTo(points: readonly MapPlace[], { across, up }: MapWindow): readonly (readonly MapPlace[])[] {
  const parts: MapPlace[][] = []
  let open = false
  for (let k = 0; k + 1 < points.length; k++) {
    const [[x, y], [u, v]] = [points[k]!, points[k + 1]!]
    let [from, to] = [0, 1]
    for (const [at, way, low, high] of [
      [x, u - x, ...across],
      [y, v - y, ...up],
    ] as const) {
      const [a, b] = [(low - at) / way, (high - at) / way]
      if (way === 0) {
        if (at < low || at > high) to = -1
        continue
      }
      from = Math.max(from, Math.min(a, b))
      to = Math.min(to, Math.max(a, b))
    }
    if (from >= to) {
      open = false
      continue
    }
    const place = (share: number): MapPlace => [x + share * (u - x), y + share * (v - y)]
    if (!open || from > 0) parts.push([place(from)])
    parts.at(-1)!.push(place(to))
    open = to === 1
  }
  return parts
}

/** The settings on steps of both levers in a window; none where one has no steps, or where there are too many. */
function onSteps({ steps, ranges }: MapAnswer, window: MapWindow): readonly MapPlace[] {
  if (steps.across === null || steps.up === null) return []
  const values = (step: number, from: number, [low, high]: MapPlace): readonly number[] => {
    const first = Math.ceil((low - from) / step - 1e-6)
    const last = Math.floor((high - from) / step + 1e-6)
    return last - first > MOST_DOTS ? [] : Array.from({ length: last - first + 1 }, (_, k) => from + (first + k) * step)
  }
  const across = values(steps.across, ranges.across[0], window.across)
  const up = values(steps.up, ranges.up[0], window.up)
  return across.length * up.length > MOST_DOTS ? [] : across.flatMap(x => up.map((y): MapPlace => [x, y]))
}

/** Solid where every target is met, a ring where a should is short, a speck where a must is. */
function dot({ wanted, region }: MapAnswer, place: MapPlace, [cx, cy]: Screen, theme: Theme): string {
  if (insideRings(wanted, place)) return element('circle', { cx, cy, r: 3.6, fill: theme.ink })
  if (insideRings(region, place))
    return element('circle', { cx, cy, r: 3, fill: theme.field, stroke: theme.ink, 'stroke-width': 1.2 })
  return element('circle', { cx, cy, r: 1.1, fill: theme.pencil })
}

function lozenge([x, y]: Screen, theme: Theme): string {
  const d = `M${short(x)} ${short(y - 10)}l10 10l-10 10l-10 -10Z`
  return element('path', { d, fill: theme.ink, stroke: theme.field, 'stroke-width': 1.8 })
}

/** Ticks and names; `width` is where the name of the lever up begins. */
function axes(
  sheet: Sheet,
  map: MapAnswer,
  at: (place: MapPlace) => Screen,
  theme: Theme,
  { left, top, bottom, width: edge }: MapFrame,
): void {
  const [across, up] = [unitNamed(map.units.across), unitNamed(map.units.up)]
  const style = { size: 14, ink: theme.pencil }
  const line = { stroke: theme.ink, 'stroke-width': 1.5 }
  const { ranges } = map
  for (const tick of ticks(fromSI(ranges.across[0], across), fromSI(ranges.across[1], across), 4)) {
    const [x] = at([toSI(tick, across), 0])
    sheet.draw(element('line', { x1: x, y1: bottom, x2: x, y2: bottom + 6, ...line }))
    sheet.write(formatNumber(tick, 5), x, bottom + 22, { ...style, anchor: 'middle' })
  }
  for (const tick of ticks(fromSI(ranges.up[0], up), fromSI(ranges.up[1], up), 4)) {
    const [, y] = at([0, toSI(tick, up)])
    sheet.draw(element('line', { x1: left - 6, y1: y, x2: left, y2: y, ...line }))
    sheet.write(formatNumber(tick, 5), left - 10, y + 5, { ...style, anchor: 'end' })
  }
  const words = { size: 16, hand: 'words' as const, ink: theme.ink }
  const told = (name: string, unit: string): string => cut(unit === '' ? name : `${name}, ${unit}`, 34)
  sheet.write(told(map.across, map.units.across), left, bottom + 46, words)
  sheet.write(told(map.up, map.units.up), edge, top - 16, words)
}

/** What the grounds and the dots mean, those that occur; gives where it ends. */
function samples(sheet: Sheet, map: MapAnswer, edge: number, from: number, theme: Theme): number {
  const shoulds = map.lines.some(({ level }) => level === 'should')
  const stepped = onSteps(map, map.ranges)
  const middle = (y: number): Screen => [edge + 13, y + 8]
  const box = { width: 26, height: 16, stroke: theme.ink, 'stroke-width': 1 }
  const rows: readonly (readonly [boolean, string, (y: number) => readonly string[]])[] = [
    [true, 'every must is met', y => [element('rect', { x: edge, y, ...box, fill: theme.wash })]],
    [
      shoulds,
      'and every should as well',
      y => [
        element('rect', { x: edge, y, ...box, fill: theme.wash }),
        element('rect', { x: edge, y, width: 26, height: 16, fill: theme.room, 'fill-opacity': 0.33 }),
      ],
    ],
    [
      stepped.some(place => insideRings(map.wanted, place)),
      'a setting on the steps, every target met',
      y => [element('circle', { cx: middle(y)[0], cy: middle(y)[1], r: 3.6, fill: theme.ink })],
    ],
    [
      stepped.some(place => insideRings(map.region, place) && !insideRings(map.wanted, place)),
      'a setting on the steps, a should short',
      y => [
        element('circle', {
          ...{ cx: middle(y)[0], cy: middle(y)[1], r: 3, fill: theme.field },
          ...{ stroke: theme.ink, 'stroke-width': 1.2 },
        }),
      ],
    ],
  ]
  let y = from
  for (const [occurs, words, marks] of rows) {
    if (!occurs) continue
    sheet.draw(...marks(y))
    sheet.write(words, edge + 36, y + 13, { size: 15, ink: theme.ink })
    y += SAMPLE
  }
  return y + 4
}
