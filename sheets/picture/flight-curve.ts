import { line } from 'd3-shape'
import { formatQuantity } from '../../grammar/units/choose.ts'
import { fromSI, toSI, type Unit } from '../../grammar/units/unit.ts'
import { type Across, type FlightSubject, type Limit, STRIP, type Strip } from './flight-subject.ts'
import { type Box, boxOf, type Sheet } from './label.ts'
import { element, path } from './svg.ts'
import type { Theme } from './theme.ts'

interface Drawn {
  readonly across: Across
  readonly up: Across
  readonly top: number
  readonly apoapsis: number
  readonly theme: Theme
}

/** The way up as a whole line, the way down broken; what leaves the strip at its top is cut off there. */
export function drawCurve(sheet: Sheet, shown: readonly number[], times: readonly number[], at: Drawn): void {
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
export function markPeak(sheet: Sheet, { theme, flight }: FlightSubject, strip: Strip, peak: Peak): void {
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
  const places = [22, 5, -8, 40, 58, 72].flatMap(down =>
    [12, 28, 44].flatMap(off => [
      { x: x + off, y: y + down },
      { x: x - off - width, y: y + down },
    ]),
  )
  const free = places.filter(place => {
    const box = boxOf(words, place.x, place.y, style)
    return place.x + width < across.range[1] && place.x > across.range[0] && sheet.free(box) && clear(box, curve)
  })
  // Rather in no limit's line than in one.
  const heights = limits.map(({ value }) => up(fromSI(value, unit)))
  const best = free.find(place => uncrossed(boxOf(words, place.x, place.y, style), heights)) ?? free[0]
  if (best) sheet.write(words, best.x, best.y, style)
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

function uncrossed({ y, height }: Box, lines: readonly number[]): boolean {
  return lines.every(line => line < y - 2 || line > y + height + 2)
}

/** Whether a label's box stands clear of a curve. */
function clear(box: Box, curve: readonly [number, number][]): boolean {
  return !curve.some(
    ([x, y]) => x > box.x - 4 && x < box.x + box.width + 4 && y > box.y - 3 && y < box.y + box.height + 3,
  )
}

/** What the way down reaches, where it leaves the strip or has a peak of its own. */
export function noteDown(
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
