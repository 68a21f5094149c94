import { ticks } from 'd3-array'
import { formatNumber } from '../../grammar/units/choose.ts'
import { fromSI, toSI } from '../../grammar/units/unit.ts'
import type { MapAnswer, MapPlace, MapRing } from '../map-answer.ts'
import { insideByHeight } from '../report/map-report.ts'
import { unitNamed } from '../report/target-words.ts'
import type { Picture } from './flight-picture.ts'
import { boxOf, cut, Sheet } from './label.ts'
import { detailOf, drawDetail, outlineDetail } from './map-detail.ts'
import { BESIDE_MAP, type MapFrame, mapFrame, type Screen, screenOf } from './map-frame.ts'
import { ground, patterns } from './map-ground.ts'
import { drawLine, drawnLines, lineLabels, type MapSubject } from './map-lines.ts'
import { element, path, pictureOf, short } from './svg.ts'
import type { Theme } from './theme.ts'

/** A trade map as an engineering drawing: the ground where targets are met, each limit's line hatched on its forbidden side. */
export function mapPicture(subject: MapSubject): Picture & { readonly frame: MapFrame } {
  const { map, theme, source, part } = subject
  const sheet = new Sheet()
  const detail = part?.quick ? null : detailOf(map)
  const frame = mapFrame(part, detail !== null)
  const { left, right, top, bottom, width, height, whole } = frame
  const at = screenOf(map, frame)
  if (whole) heading(sheet, subject, frame)
  const box = { x: left, y: top, width: right - left, height: bottom - top }
  sheet.draw(element('rect', { ...box, fill: theme.field }))
  ground(sheet, map, at, theme)
  contours(sheet, map, at, theme, frame)
  const lines = drawnLines(subject, at)
  const before = sheet.marks.length
  for (const line of lines) drawLine(sheet, subject, line)
  const drawn = sheet.marks.splice(before)
  sheet.draw(element('g', { 'clip-path': 'url(#frame)' }, ...drawn))
  sheet.draw(element('rect', { ...box, fill: 'none', stroke: theme.ink, 'stroke-width': 1.5 }))
  axes(sheet, map, at, theme, frame)
  for (const place of map.settings) sheet.draw(dot(at(place), theme))
  marks(sheet, subject, at, frame)
  lineLabels(sheet, subject, lines, frame)
  if (detail) outlineDetail(sheet, detail, at, theme)
  groundWords(sheet, map, at, theme, frame)
  if (detail && whole)
    drawDetail(sheet, subject, detail, { edge: BESIDE_MAP, top, width: width - BESIDE_MAP - 40 }, 'detail-')
  if (whole) foot(sheet, map, source, theme, frame)
  const svg = pictureOf(
    width,
    height,
    `${map.sheet}: the trade map of ${map.across} and ${map.up}`,
    element(
      'defs',
      {},
      ...patterns(theme),
      ...(detail && whole ? patterns(theme, 'detail-') : []),
      element('clipPath', { id: 'frame' }, element('rect', box)),
    ),
    element('rect', { width, height, fill: theme.ground }),
    ...sheet.marks,
  )
  return { svg, width, height, labels: sheet.labels, frame }
}

function heading(sheet: Sheet, { map, theme }: MapSubject, { width }: MapFrame): void {
  sheet.draw(element('rect', { x: 40, y: 28, width: width - 80, height: 4, fill: theme.ink }))
  const title = [...map.sheet].length > 60 ? `${[...map.sheet].slice(0, 59).join('')}…` : map.sheet
  sheet.write(title, 40, 76, { size: 30, hand: 'words', ink: theme.ink })
  const mark = map.solution
    ? ' The mark is where the sheet is solved.'
    : ' The open mark is the closest compromise, not a setting to fly.'
  sheet.write(`Hatching stands on the forbidden side of each limit.${mark}`, 40, 108, {
    size: 18,
    hand: 'words',
    ink: theme.pencil,
  })
}

/** Light lines of the first aim, told at the foot where there is room. */
function contours(
  sheet: Sheet,
  map: MapAnswer,
  at: (place: MapPlace) => Screen,
  theme: Theme,
  { right, bottom, roomy }: MapFrame,
): void {
  for (const { text, points } of map.aim?.contours ?? []) {
    const screen = points.map(at)
    sheet.draw(element('path', { d: path(screen), fill: 'none', stroke: theme.hair, 'stroke-width': 1.1 }))
    const low = screen.reduce((best, each) => (each[1] > best[1] ? each : best), screen[0]!)
    const style = { size: 14, ink: theme.pencil }
    const place: Screen = [low[0] + 5, Math.min(low[1], bottom) - 7]
    const box = boxOf(text, place[0], place[1], style)
    if (roomy && box.x + box.width < right - 4 && sheet.free(box, 8)) sheet.write(text, place[0], place[1], style)
  }
}

function axes(
  sheet: Sheet,
  map: MapAnswer,
  at: (place: MapPlace) => Screen,
  theme: Theme,
  { left, right, top, bottom, roomy, whole }: MapFrame,
): void {
  const [across, up] = [unitNamed(map.units.across), unitNamed(map.units.up)]
  const ends = (range: MapPlace, unit: typeof across): [number, number] => [
    fromSI(range[0], unit),
    fromSI(range[1], unit),
  ]
  const told = (name: string, unit: string): string => (unit === '' ? name : `${name}, ${unit}`)
  const spot = whole ? (map.solution ?? map.compromise) : null
  const tags = spot && at(spot)
  const style = { size: 14, ink: theme.pencil }
  const many = roomy ? 8 : 4
  const corner: MapPlace = [map.ranges.across[0], map.ranges.up[0]]
  for (const tick of ticks(...ends(map.ranges.across, across), many)) {
    const [x] = at([toSI(tick, across), corner[1]])
    sheet.draw(element('line', { x1: x, y1: bottom, x2: x, y2: bottom + 6, stroke: theme.ink, 'stroke-width': 1.5 }))
    if (!tags || Math.abs(x - tags[0]) > 30)
      sheet.write(formatNumber(tick, 4), x, bottom + 22, { ...style, anchor: 'middle' })
  }
  for (const tick of ticks(...ends(map.ranges.up, up), many)) {
    const [, y] = at([corner[0], toSI(tick, up)])
    sheet.draw(element('line', { x1: left - 6, y1: y, x2: left, y2: y, stroke: theme.ink, 'stroke-width': 1.5 }))
    if (!tags || Math.abs(y - tags[1]) > 18)
      sheet.write(formatNumber(tick, 4), left - 10, y + 5, { ...style, anchor: 'end' })
  }
  const words = { size: roomy ? 18 : 16, hand: 'words' as const, ink: theme.ink }
  sheet.write(told(map.across, map.units.across), (left + right) / 2, bottom + 48, { ...words, anchor: 'middle' })
  // The name of the lever up stands above its axis, level, so that nobody has to turn a head.
  sheet.write(told(map.up, map.units.up), whole ? 40 : 0, top - 22, words)
}

function dot([x, y]: Screen, theme: Theme): string {
  return element('circle', { cx: x, cy: y, r: 1.8, fill: theme.room })
}

/** The solution (solid) or the compromise (open) with its threads and tags; in a conflict where each mend would land. */
function marks(
  sheet: Sheet,
  { map, answer, theme, part }: MapSubject,
  at: (place: MapPlace) => Screen,
  { left, bottom, whole }: MapFrame,
): void {
  const spot = map.solution ?? map.compromise
  if (!spot) return
  const [x, y] = at(spot)
  if (whole) {
    const thread = { stroke: theme.ink, 'stroke-width': 1, 'stroke-dasharray': '1.5 3' }
    sheet.draw(
      element('line', { x1: left, y1: y, x2: x, y2: y, ...thread }),
      element('line', { x1: x, y1: y, x2: x, y2: bottom, ...thread }),
    )
    tag(sheet, formatNumber(fromSI(spot[0], unitNamed(map.units.across)), 4), x, bottom + 18, 'middle', theme)
    tag(sheet, formatNumber(fromSI(spot[1], unitNamed(map.units.up)), 4), left - 8, y + 5, 'end', theme)
  }
  // A page that is asked for a map while a hand moves does not wait for mends.
  const mends = part?.quick ? [] : [...(answer.conflict?.mends ?? [])].sort((p, q) => share(p) - share(q))
  mends.forEach(({ settings }, place) => {
    const [u, v] = [settings[map.across]?.si, settings[map.up]?.si]
    if (u === undefined || v === undefined) return
    const [fromX, fromY] = at([u, v])
    const style = { size: 15, bold: true, anchor: 'middle' as const, ink: theme.ink }
    const words = String(place + 1)
    // Beside its place where something else is written there.
    const [cx, cy] = BESIDE.map(([dx, dy]): Screen => [fromX + dx, fromY + dy]).find(([a, b]) =>
      sheet.free(boxOf(words, a, b + 5, style), 9),
    ) ?? [fromX, fromY]
    sheet.draw(
      element('line', { x1: fromX, y1: fromY, x2: cx, y2: cy, stroke: theme.ink, 'stroke-width': 1 }),
      element('circle', { cx, cy, r: 11, fill: theme.field, stroke: theme.ink, 'stroke-width': 1.5 }),
    )
    sheet.write(words, cx, cy + 5, style)
  })
  if (whole)
    sheet.draw(
      element('path', {
        d: `M${short(x)} ${short(y - 11)}L${short(x + 11)} ${short(y)}L${short(x)} ${short(y + 11)}L${short(x - 11)} ${short(y)}Z`,
        fill: map.solution ? theme.ink : theme.field,
        stroke: map.solution ? theme.field : theme.ink,
        'stroke-width': 1.8,
      }),
    )
}

/** Where the number of a mend may stand, from its own place outward. */
const BESIDE: readonly Screen[] = [
  [0, 0],
  [24, -24],
  [-24, -24],
  [24, 24],
  [-24, 24],
  [40, -40],
  [-40, -40],
  [60, -20],
]

function share({ si, by }: { readonly si: number; readonly by: number }): number {
  return Math.abs(by) / (Math.abs(si - by) || 1)
}

/** A setting on a solid tag at its axis. */
function tag(sheet: Sheet, words: string, x: number, y: number, anchor: 'middle' | 'end', theme: Theme): void {
  const style = { size: 16, bold: true, anchor, ink: theme.ground }
  const box = boxOf(words, x, y, style)
  sheet.draw(
    element('rect', { x: box.x - 7, y: box.y - 4, width: box.width + 14, height: box.height + 6, fill: theme.ink }),
  )
  sheet.write(words, x, y, style)
}

/** What the ground means, written on it where there is room. */
function groundWords(
  sheet: Sheet,
  map: MapAnswer,
  at: (place: MapPlace) => Screen,
  theme: Theme,
  frame: MapFrame,
): void {
  const write = (rings: readonly MapRing[], words: string): void => {
    const style = { size: 18, hand: 'words' as const, anchor: 'middle' as const, ink: theme.ink }
    const spot = map.solution ?? map.compromise
    const width = boxOf(words, 0, 0, style).width
    const place = roomFor(
      rings.map(ring => ring.map(at)),
      width,
      sheet,
      words,
      spot && at(spot),
      frame,
    )
    if (place) sheet.write(words, place[0], place[1], style)
  }
  write(map.region, 'every must is met')
  write(map.pad, 'never leaves the pad')
}

/** A place where words of a width lie wholly inside rings, clear of labels and threads, as near to the middle of such places as may be; null for none. */
function roomFor(
  rings: readonly (readonly Screen[])[],
  width: number,
  sheet: Sheet,
  words: string,
  threads: Screen | null,
  { left, right, top, bottom }: MapFrame,
): Screen | null {
  if (rings.length === 0) return null
  const free: Screen[] = []
  const inside = insideByHeight(rings)
  for (let y = top + 30; y < bottom - 10; y += 10)
    for (let x = left + width / 2 + 8; x < right - width / 2; x += 14) {
      if (!wordsInside(inside, x, y, width)) continue
      const crossed = threads && (Math.abs(y - 6 - threads[1]) < 18 || Math.abs(x - threads[0]) < width / 2 + 8)
      if (!crossed && sheet.free(boxOf(words, x, y, { size: 18, hand: 'words', anchor: 'middle' }), 6))
        free.push([x, y])
    }
  if (free.length === 0) return null
  const middle = [0, 1].map(axis => free.reduce((sum, place) => sum + place[axis as 0 | 1], 0) / free.length)
  const far = ([x, y]: Screen): number => Math.hypot(x - middle[0]!, y - middle[1]!)
  return free.reduce((best, place) => (far(place) < far(best) ? place : best))
}

/** Whether the ends and the middle of words of a width lie inside, above and below. */
function wordsInside(inside: (place: Screen) => boolean, x: number, y: number, width: number): boolean {
  for (let side = -0.55; side < 0.6; side += 0.55)
    for (let dy = -20; dy <= 8; dy += 28) if (!inside([x + side * width, y + dy])) return false
  return true
}

function foot(sheet: Sheet, map: MapAnswer, source: string, theme: Theme, { width, bottom }: MapFrame): void {
  sheet.draw(
    element('line', { x1: 40, y1: bottom + 76, x2: width - 40, y2: bottom + 76, stroke: theme.ink, 'stroke-width': 1 }),
  )
  const held = Object.entries(map.others).map(([name, { text }]) => `${name} ${text}`)
  const parts = [
    `${source}.`,
    map.aim ? `Light lines: ${map.aim.text.replace(/^(least|most) /, '')}.` : '',
    held.length > 0 ? `Held: ${held.join(', ')}.` : '',
    'A paper study; the range safety officer decides.',
  ]
  sheet.write(cut(parts.filter(part => part !== '').join(' '), 150), 40, bottom + 100, {
    size: 15,
    ink: theme.pencil,
  })
}
