import { line } from 'd3-shape'
import { formatNumber, formatQuantity } from '../../grammar/units/choose.ts'
import { fromSI, toSI, type Unit } from '../../grammar/units/unit.ts'
import type { FlightAnswer, TargetAnswer } from '../answer.ts'
import { unitNamed } from '../report/target-words.ts'
import { hatchAlong } from './hatch.ts'
import { type Box, boxOf, cut, movedApart, Sheet } from './label.ts'
import { type Linear, linear } from './linear.ts'
import { element, escaped, path } from './svg.ts'
import type { Theme } from './theme.ts'

/** What a picture of a flight is made from. */
export interface FlightSubject {
  readonly title: string
  /** What was set, in a sentence. */
  readonly settings: string
  readonly flight: FlightAnswer
  readonly targets: readonly TargetAnswer[]
  readonly theme: Theme
  /** As part of a page: so wide [px], without a title. */
  readonly part?: { readonly width: number }
}

/** A picture, and the boxes of its labels. */
export interface Picture {
  readonly svg: string
  readonly width: number
  readonly height: number
  readonly labels: readonly Box[]
}

const STRIP = 112
const GAP = 36

/** Where everything stands on the picture of a flight [px]. */
export interface FlightFrame {
  readonly width: number
  readonly left: number
  readonly right: number
  /** The top of the first strip, and the rows of events above it. */
  readonly top: number
  readonly rows: readonly number[]
  /** Whether there is room for limits and notes in words. */
  readonly roomy: boolean
  readonly whole: boolean
}

const WHOLE: FlightFrame = {
  width: 1240,
  left: 104,
  right: 1030,
  top: 222,
  rows: [144, 165, 186],
  roomy: true,
  whole: true,
}
/** A page narrower than this [px] has room for names only. */
const NARROW = 640

function flightFrame(part?: { readonly width: number }): FlightFrame {
  if (!part) return WHOLE
  const { width } = part
  const roomy = width >= NARROW
  return {
    width,
    left: roomy ? 76 : 44,
    right: width - (roomy ? 150 : 12),
    top: 102,
    rows: [20, 41, 62],
    roomy,
    whole: false,
  }
}

/** One curve over time, and the figures whose limits stand on it. */
interface Strip {
  readonly name: string
  readonly column: string
  readonly unit: string
  /** Figures of the flight that stand on it. */
  readonly figures: readonly string[]
}

const STRIPS: readonly Strip[] = [
  { name: 'altitude', column: 'altitude', unit: 'km', figures: ['apoapsis'] },
  { name: 'speed', column: 'speed', unit: 'm/s', figures: ['max speed', 'burnout speed'] },
  { name: 'felt acceleration', column: 'felt acceleration', unit: 'g0', figures: ['peak g'] },
  { name: 'dynamic pressure', column: 'dynamic pressure', unit: 'kPa', figures: ['max q'] },
]

/** A flight over time in four strips with one time axis. */
export function flightPicture(view: FlightSubject): Picture & { readonly frame: FlightFrame } {
  const { flight, theme, part } = view
  const frame = flightFrame(part)
  const { width, left, right } = frame
  const sheet = new Sheet()
  const rows = flight.history.rows
  const times = rows.map(row => row[0]!)
  const end = times.at(-1) ?? 1
  const apoapsis = flight.events.find(event => event.name === 'apoapsis')?.time ?? end
  const across = linear([0, end], [left, right])
  const bottom = frame.top + STRIPS.length * STRIP + (STRIPS.length - 1) * GAP
  const height = bottom + 80
  if (frame.whole) heading(sheet, view)
  const dots = threads(sheet, flight, across, bottom, theme, frame)
  STRIPS.forEach((strip, place) => {
    const column = flight.history.columns.indexOf(strip.column)
    if (column === -1) return
    const top = frame.top + place * (STRIP + GAP)
    drawStrip(
      sheet,
      view,
      strip,
      rows.map(row => row[column]!),
      times,
      { across, top, apoapsis, roomy: frame.roomy },
    )
  })
  timeAxis(sheet, across, end, bottom, theme, frame.roomy)
  const svg = element(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      viewBox: `0 0 ${width} ${height}`,
      width,
      height,
      role: 'img',
    },
    element('title', {}, escaped(`${view.title}: the flight over time`)),
    element('rect', { width, height, fill: theme.ground }),
    ...dots,
    ...sheet.marks,
  )
  return { svg: `${svg}\n`, width, height, labels: sheet.labels, frame }
}

function heading(sheet: Sheet, { title, settings, flight, theme }: FlightSubject): void {
  sheet.draw(element('rect', { x: 40, y: 28, width: WHOLE.width - 80, height: 4, fill: theme.ink }))
  sheet.write(cut(title, 78), 40, 76, { size: 30, hand: 'words', ink: theme.ink })
  const ways = flight.events.some(event => event.name === 'touchdown')
    ? ' Whole line: the way up. Broken line: the way down.'
    : ''
  sheet.write(cut(`${settings}${ways}`, 150), 40, 108, { size: 18, hand: 'words', ink: theme.pencil })
}

type Across = Linear

/** Events as dotted threads, labelled in rows above the strips; one whose label finds no free place has none. */
function threads(
  sheet: Sheet,
  { events }: FlightAnswer,
  across: Across,
  bottom: number,
  theme: Theme,
  frame: FlightFrame,
): string[] {
  const [, end] = across.domain
  const lifted = events.find(event => event.name === 'liftoff')
  return events.flatMap(({ name, time }) => {
    // Ignition and liftoff in one breath are told once.
    if (name === 'ignition' && lifted && lifted.time - time < 0.02 * end) return []
    // A stage may come down later than the flight itself.
    if (time > end) return []
    const x = across(time)
    const when = frame.roomy ? `${formatNumber(time, 3)} s` : ''
    const bold = { size: 15, bold: true, ink: theme.ink }
    const nameWidth = boxOf(name, 0, 0, bold).width
    const width = nameWidth + 6 + boxOf(when, 0, 0, { size: 15 }).width
    const place = frame.rows
      .flatMap(y => [x, x - width].map(left => ({ left, y })))
      .find(({ left, y }) => {
        const box = { ...boxOf('', left, y, bold), width }
        const edge = frame.whole ? 20 : 0
        return left >= edge && left + width <= frame.width - edge && sheet.free(box, 6)
      })
    if (!place) return []
    sheet.write(name, place.left, place.y, bold)
    sheet.write(when, place.left + nameWidth + 6, place.y, { size: 15, ink: theme.pencil })
    return [dotted(x, place.y + 6, x, bottom, theme)]
  })
}

function dotted(x1: number, y1: number, x2: number, y2: number, theme: Theme): string {
  return element('line', { x1, y1, x2, y2, stroke: theme.pencil, 'stroke-width': 1, 'stroke-dasharray': '1.5 3.5' })
}

interface StripPlace {
  readonly across: Across
  readonly top: number
  readonly apoapsis: number
  readonly roomy: boolean
}

/** A limit of a target on a strip. */
interface Limit {
  readonly value: number
  readonly words: string
  readonly forbidden: 'above' | 'below'
  readonly target: TargetAnswer
  readonly family: number
}

function drawStrip(
  sheet: Sheet,
  view: FlightSubject,
  strip: Strip,
  values: readonly number[],
  times: readonly number[],
  { across, top, apoapsis, roomy }: StripPlace,
): void {
  const [left] = across.range
  const { theme } = view
  const limits = limitsOn(view, strip)
  const unit = limits[0] ? unitNamed(limits[0].target.unit ?? strip.unit) : unitNamed(strip.unit)
  const shown = values.map(si => fromSI(si, unit))
  const upward = shown.filter((value, k) => times[k]! <= apoapsis && Number.isFinite(value))
  const most = Math.max(0, ...upward, ...limits.map(limit => 1.12 * fromSI(limit.value, unit))) || 1
  const up = linear([0, 1.08 * most], [top + STRIP, top])
  sheet.write(strip.name, left, top - 12, { size: 18, hand: 'words', ink: theme.ink })
  sheet.write(unit.text, left + boxOf(strip.name, 0, 0, { size: 18, hand: 'words' }).width + 8, top - 12, {
    size: 15,
    ink: theme.pencil,
  })
  sheet.draw(axesOf(top, across, theme))
  for (const tick of up.ticks(3)) {
    sheet.draw(
      element('line', { x1: left - 6, y1: up(tick), x2: left, y2: up(tick), stroke: theme.ink, 'stroke-width': 1.5 }),
    )
    sheet.write(formatNumber(tick, 3), left - 10, up(tick) + 5, { size: 14, anchor: 'end', ink: theme.pencil })
  }
  drawLimits(sheet, limits, unit, { up, across }, theme, roomy)
  drawCurve(sheet, shown, times, { across, up, top, apoapsis, theme })
  markPeak(sheet, view, strip, { shown, times, unit, across, up, apoapsis, limits })
  // The way down begins at the height of the way up: nothing to note.
  if (strip.name !== 'altitude' && roomy) noteDown(sheet, { shown, times, unit, across, up, apoapsis, top, theme })
}

function axesOf(top: number, across: Across, theme: Theme): string {
  const [left, right] = across.range
  return element('path', {
    d: `${path([
      [left, top],
      [left, top + STRIP],
      [right, top + STRIP],
    ])}`,
    fill: 'none',
    stroke: theme.ink,
    'stroke-width': 1.5,
  })
}

const TARGET = /^(.*?)(?: of .*)? (?:at least|at most|within|equal to) /

function limitsOn({ targets }: FlightSubject, strip: Strip): readonly Limit[] {
  return targets.flatMap((target, family) => {
    const subject = TARGET.exec(target.text)?.[1]
    if (subject === undefined || !strip.figures.includes(subject)) return []
    const unit = unitNamed(target.unit ?? strip.unit)
    return target.limit.flatMap((value, end): Limit[] =>
      typeof value === 'number'
        ? [
            {
              value,
              words: `${end === 0 ? 'at least' : 'at most'} ${formatQuantity(value, unit, 4)}`,
              forbidden: end === 0 ? 'below' : 'above',
              target,
              family,
            },
          ]
        : [],
    )
  })
}

function drawLimits(
  sheet: Sheet,
  limits: readonly Limit[],
  unit: Unit,
  { up, across }: { readonly up: Across; readonly across: Across },
  theme: Theme,
  roomy: boolean,
): void {
  const [left, right] = across.range
  const heights = limits.map(limit => up(fromSI(limit.value, unit)))
  const placed = movedApart(
    heights.map(y => y + 5),
    18,
    up.range[1] - 8,
    up.range[0] + 4,
  )
  limits.forEach((limit, k) => {
    const y = heights[k]!
    const dash = limit.target.level === 'must' ? undefined : limit.target.level === 'should' ? '7 3.5' : '2 4'
    sheet.draw(
      element('line', {
        x1: left,
        y1: y,
        x2: right,
        y2: y,
        stroke: theme.ink,
        'stroke-width': 1.8,
        'stroke-dasharray': dash,
      }),
    )
    // A floor is hatched at its left end only: beneath it the whole way up has to pass.
    const line: [number, number][] =
      limit.forbidden === 'above'
        ? [
            [right, y],
            [left, y],
          ]
        : [
            [left, y],
            [left + 60, y],
          ]
    sheet.draw(
      element('path', { d: hatchAlong(line, limit.family), fill: 'none', stroke: theme.pencil, 'stroke-width': 1.2 }),
    )
    if (roomy) sheet.write(limit.words, right + 12, placed[k]!, { size: 15, ink: theme.ink })
  })
}

interface Drawn {
  readonly across: Across
  readonly up: Across
  readonly top: number
  readonly apoapsis: number
  readonly theme: Theme
}

/** The way up as a whole line, the way down broken; what leaves the strip at its top is cut off there. */
function drawCurve(sheet: Sheet, shown: readonly number[], times: readonly number[], at: Drawn): void {
  const { across, up, top, apoapsis, theme } = at
  const places = shown.map((value, k) => ({ time: times[k]!, value }))
  const curve = line<{ time: number; value: number }>()
    .defined(({ value }) => Number.isFinite(value) && up(value) >= top - 1)
    .x(({ time }) => across(time))
    .y(({ value }) => up(value))
    .digits(2)
  const [rising, falling] = [
    places.filter(({ time }) => time <= apoapsis),
    places.filter(({ time }) => time >= apoapsis),
  ]
  sheet.draw(
    element('path', {
      d: curve(falling) ?? '',
      fill: 'none',
      stroke: theme.pencil,
      'stroke-width': 1.5,
      'stroke-dasharray': '5 3',
    }),
    element('path', {
      d: curve(rising) ?? '',
      fill: 'none',
      stroke: theme.ink,
      'stroke-width': 2.4,
      'stroke-linejoin': 'round',
    }),
  )
}

interface Peak extends Omit<Drawn, 'top' | 'theme'> {
  readonly shown: readonly number[]
  readonly times: readonly number[]
  readonly unit: Unit
  readonly limits: readonly Limit[]
}

/** A lozenge at the highest point on the way up, with its value; ochre where a target stands at its limit there, plum where one is short. */
function markPeak(sheet: Sheet, { theme, flight }: FlightSubject, strip: Strip, peak: Peak): void {
  const { shown, times, unit, across, up, apoapsis, limits } = peak
  let at = -1
  shown.forEach((value, k) => {
    if (times[k]! <= apoapsis && Number.isFinite(value) && (at === -1 || value > shown[at]!)) at = k
  })
  if (at === -1) return
  const figure = strip.figures.map(name => flight.figures[name]).find(value => typeof value === 'number')
  const si = typeof figure === 'number' ? figure : toSI(shown[at]!, unit)
  const [x, y] = [across(times[at]!), up(fromSI(si, unit))]
  const ink = limits.some(({ target }) => !target.met)
    ? theme.short
    : limits.some(({ target }) => target.atLimit)
      ? theme.limit
      : theme.ink
  sheet.draw(
    element('path', {
      d: `${path([
        [x, y - 7],
        [x + 7, y],
        [x, y + 7],
        [x - 7, y],
      ])}Z`,
      fill: ink,
      stroke: theme.ground,
      'stroke-width': 1.5,
    }),
  )
  const words = formatQuantity(si, unit, 4)
  const style = { size: 16, bold: true, ink }
  const width = boxOf(words, 0, 0, style).width
  const curve = pixels(peak)
  const places = [22, 5, -8, 40].flatMap(down =>
    [12, 28, 44].flatMap(off => [
      { x: x + off, y: y + down },
      { x: x - off - width, y: y + down },
    ]),
  )
  const free = places.find(place => {
    const box = boxOf(words, place.x, place.y, style)
    return place.x + width < across.range[1] && place.x > across.range[0] && sheet.free(box) && clear(box, curve)
  })
  if (free) sheet.write(words, free.x, free.y, style)
}

/** The curve as places on the picture. */
function pixels({
  shown,
  times,
  across,
  up,
}: Pick<Peak, 'shown' | 'times' | 'across' | 'up'>): readonly [number, number][] {
  const places = shown.map((value, k): [number, number] => [across(times[k]!), up(value)])
  // Between two places far apart, as at a jump, the line runs as well.
  return places.flatMap(([x, y], k): [number, number][] => {
    const [u, v] = places[k + 1] ?? [x, y]
    const steps = Math.min(60, Math.max(1, Math.ceil(Math.hypot(u - x, v - y) / 4)))
    return Array.from({ length: steps }, (_, i) => [x + ((u - x) * i) / steps, y + ((v - y) * i) / steps])
  })
}

/** Whether a label's box stands clear of a curve. */
function clear(box: Box, curve: readonly [number, number][]): boolean {
  return !curve.some(
    ([x, y]) => x > box.x - 4 && x < box.x + box.width + 4 && y > box.y - 3 && y < box.y + box.height + 3,
  )
}

/** What the way down reaches, where it leaves the strip or has a peak of its own. */
function noteDown(
  sheet: Sheet,
  { shown, times, unit, across, up, apoapsis, top, theme }: Omit<Peak, 'limits'> & Drawn,
): void {
  let at = -1
  shown.forEach((value, k) => {
    if (times[k]! > apoapsis && Number.isFinite(value) && (at === -1 || value > shown[at]!)) at = k
  })
  if (at === -1 || !(shown[at]! > 0) || times[at]! <= apoapsis * 1.001) return
  const words = `on the way down ${up(shown[at]!) < top ? 'to ' : ''}${formatQuantity(toSI(shown[at]!, unit), unit, 3)}`
  const style = { size: 15, ink: theme.pencil }
  const width = boxOf(words, 0, 0, style).width
  const curve = pixels({ shown, times, across, up })
  for (const y of [0.72, 0.45, 0.25].map(share => top + share * STRIP)) {
    for (const off of [20, 40, 60, 90]) {
      const x = across(times[at]!) - width - off
      const box = boxOf(words, x, y, style)
      if (x < across.range[0] || !sheet.free(box) || !clear(box, curve)) continue
      sheet.write(words, x, y, style)
      return
    }
  }
}

function timeAxis(sheet: Sheet, across: Across, end: number, bottom: number, theme: Theme, roomy: boolean): void {
  const [left, right] = across.range
  for (const tick of across.ticks(roomy ? 10 : 5)) {
    const x = across(tick)
    if (tick > end) continue
    sheet.draw(element('line', { x1: x, y1: bottom, x2: x, y2: bottom + 6, stroke: theme.ink, 'stroke-width': 1.5 }))
    sheet.write(formatNumber(tick, 3), x, bottom + 22, { size: 14, anchor: 'middle', ink: theme.pencil })
  }
  sheet.write('time from ignition, s', (left + right) / 2, bottom + 46, {
    size: 17,
    hand: 'words',
    anchor: 'middle',
    ink: theme.ink,
  })
}
