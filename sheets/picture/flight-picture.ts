import { formatNumber } from '../../grammar/units/choose.ts'
import type { FlightAnswer } from '../answer.ts'
import { drawStrip } from './flight-strip.ts'
import { type Across, type FlightSubject, GAP, STRIP, STRIPS } from './flight-subject.ts'
import { type Box, boxOf, cut, Sheet } from './label.ts'
import { linear } from './linear.ts'
import { element, pictureOf } from './svg.ts'
import type { Theme } from './theme.ts'

/** A picture, and the boxes of its labels. */
export interface Picture {
  readonly svg: string
  readonly width: number
  readonly height: number
  readonly labels: readonly Box[]
}

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
  const svg = pictureOf(
    width,
    height,
    `${view.title}: the flight over time`,
    element('rect', { width, height, fill: theme.ground }),
    ...dots,
    ...sheet.marks,
  )
  return { svg, width, height, labels: sheet.labels, frame }
}

function heading(sheet: Sheet, { title, settings, flight, theme }: FlightSubject): void {
  sheet.draw(element('rect', { x: 40, y: 28, width: WHOLE.width - 80, height: 4, fill: theme.ink }))
  sheet.write(cut(title, 78), 40, 76, { size: 30, hand: 'words', ink: theme.ink })
  const ways = flight.events.some(event => event.name === 'touchdown')
    ? ' Whole line: the way up. Broken line: the way down.'
    : ''
  sheet.write(cut(`${settings}${ways}`, 150), 40, 108, { size: 18, hand: 'words', ink: theme.pencil })
}

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
