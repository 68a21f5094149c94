import type { Answer, TargetAnswer } from '../answer.ts'
import { scaleOf } from '../report/scale.ts'
import { targetWords } from '../report/target-words.ts'
import { hatchAlong } from './hatch.ts'
import { boxOf, Sheet } from './label.ts'
import { element, path } from './svg.ts'
import type { Theme } from './theme.ts'

export const SCALE_WIDTH = 420
export const SCALE_HEIGHT = 74
const LINE = 52

/** A target's margin scale as an SVG element: limit ticks in their lanes, hatching where one may not stand, the mark, room or overshoot. */
export function scalePicture(
  target: TargetAnswer,
  quantities: Answer['quantities'],
  family: number,
  theme: Theme,
): string {
  const words = targetWords(target, quantities)
  const scale = scaleOf(target, words.kind)
  const sheet = new Sheet()
  const x = (share: number): number => 10 + share * (SCALE_WIDTH - 20)
  sheet.draw(element('line', { x1: x(0), y1: LINE, x2: x(1), y2: LINE, stroke: theme.ink, 'stroke-width': 1.5 }))
  for (const [from, to] of scale.forbidden) {
    // From right to left, so that the hatching stands above the line.
    const strokes = hatchAlong(
      [
        [x(to), LINE],
        [x(from), LINE],
      ],
      family,
    )
    sheet.draw(element('path', { d: strokes, fill: 'none', stroke: theme.pencil, 'stroke-width': 1.3 }))
  }
  const stretch = scale.room ?? scale.overshoot
  if (stretch)
    sheet.draw(
      element('line', {
        x1: x(stretch[0]),
        y1: LINE,
        x2: x(stretch[1]),
        y2: LINE,
        stroke: scale.room ? theme.room : theme.short,
        'stroke-width': scale.room ? 6 : 9,
        'stroke-dasharray': scale.room ? undefined : '3 2',
      }),
    )
  const ink = words.state === 'short' ? theme.short : words.state === 'at its limit' ? theme.limit : theme.ink
  const dash = target.level === 'must' ? undefined : target.level === 'should' ? '7 3.5' : '2 4'
  const limits = words.limit.replace(/^(?:at least|at most|within|equal to) /, '').split(' to ')
  scale.ticks.forEach((tick, k) => {
    const at = x(tick)
    sheet.draw(
      element('line', {
        x1: at,
        y1: 8,
        x2: at,
        y2: LINE + 10,
        stroke: ink,
        'stroke-width': 3,
        'stroke-dasharray': dash,
      }),
    )
    const style = {
      size: 15,
      ink: theme.ink,
      anchor: scale.forbidden.some(([, to]) => to === tick) ? ('end' as const) : ('start' as const),
    }
    sheet.write(limits[k] ?? '', at + (style.anchor === 'end' ? -8 : 8), 20, style)
  })
  if (scale.mark !== null) markOn(sheet, x(scale.mark), words.value, ink, theme, scale.ticks.map(x))
  return element(
    'svg',
    {
      viewBox: `0 0 ${SCALE_WIDTH} ${SCALE_HEIGHT}`,
      class: 'scale',
      role: 'img',
      'aria-label': `${words.subject} ${words.value}, ${words.limit}: ${words.words}`,
    },
    ...sheet.marks,
  )
}

function markOn(sheet: Sheet, x: number, value: string, ink: string, theme: Theme, ticks: readonly number[]): void {
  sheet.draw(
    element('path', {
      d: `${path([
        [x, LINE - 8],
        [x + 8, LINE],
        [x, LINE + 8],
        [x - 8, LINE],
      ])}Z`,
      fill: ink,
      stroke: theme.ground,
      'stroke-width': 1.5,
    }),
  )
  const style = { size: 17, bold: true, ink }
  const width = boxOf(value, 0, 0, style).width
  const places = [14, -14 - width, 40, -40 - width].map(off => x + off)
  const free = places.find(
    left =>
      left > 0 &&
      left + width < SCALE_WIDTH &&
      ticks.every(tick => tick < left - 3 || tick > left + width + 3) &&
      sheet.free(boxOf(value, left, LINE - 12, style), 2),
  )
  sheet.write(value, free ?? Math.min(Math.max(0, places[0]!), SCALE_WIDTH - width), LINE - 12, style)
}
