import { formatNumber, formatQuantity } from '../../grammar/units/choose.ts'
import { fromSI, type Unit } from '../../grammar/units/unit.ts'
import { unitNamed } from '../report/target-words.ts'
import { drawCurve, markPeak, noteDown } from './flight-curve.ts'
import { type Across, type FlightSubject, type Limit, STRIP, type Strip } from './flight-subject.ts'
import { hatchAlong } from './hatch.ts'
import { boxOf, movedApart, type Sheet } from './label.ts'
import { linear } from './linear.ts'
import { element, path } from './svg.ts'
import type { Theme } from './theme.ts'

interface StripPlace {
  readonly across: Across
  readonly top: number
  readonly apoapsis: number
  readonly roomy: boolean
}

/** One strip: its scale, the limits of targets on it, the curve with its peak. */
export function drawStrip(
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
