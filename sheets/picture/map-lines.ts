import type { Answer, TargetAnswer } from '../answer.ts'
import type { MapAnswer, MapPlace, MapRing } from '../map-answer.ts'
import { insideRings } from '../report/map-report.ts'
import { hatchAlong } from './hatch.ts'
import { cut, movedApart, type Sheet } from './label.ts'
import type { MapFrame, Screen } from './map-frame.ts'
import { element, path } from './svg.ts'
import type { Theme } from './theme.ts'

/** What a picture of a trade map is made from; the answer tells which targets are at their limits, and the mends of a conflict. */
export interface MapSubject {
  readonly map: MapAnswer
  readonly answer: Answer
  readonly theme: Theme
  /** What the picture is made from, told at its foot. */
  readonly source: string
  /** As part of a page: so wide [px], without title, foot and mark, which the page has itself; `quick` without what has to be worked out first. */
  readonly part?: { readonly width: number; readonly quick: boolean }
}

export interface Drawn {
  readonly target: string | TargetAnswer
  readonly level: TargetAnswer['level']
  readonly end: 'low' | 'high'
  readonly screen: readonly Screen[]
  readonly points: readonly MapPlace[]
  readonly family?: number
}

/** Ink of a target: ochre at its limit, plum in a conflict's first set. */
export function inkOf({ answer, theme, part }: MapSubject, text: string): string {
  if (!part?.quick && answer.conflict?.targets.includes(text)) return theme.short
  return answer.targets.some(target => target.text === text && target.atLimit) ? theme.limit : theme.ink
}

function textOf(target: string | TargetAnswer): string {
  return typeof target === 'string' ? target : target.text
}

/** A limit's line, thick where it bounds the region, hatched on the forbidden side. */
export function drawLine(sheet: Sheet, subject: MapSubject, line: Drawn): void {
  const { map } = subject
  const ink = inkOf(subject, textOf(line.target))
  const dash = line.level === 'must' ? undefined : line.level === 'should' ? '8 5' : '2 4'
  const area = line.level === 'must' ? map.region : map.wanted
  sheet.draw(
    element('path', { d: path(line.screen), fill: 'none', stroke: ink, 'stroke-width': 1.1, 'stroke-dasharray': dash }),
  )
  for (const part of bounding(line, area, map))
    sheet.draw(
      element('path', { d: path(part), fill: 'none', stroke: ink, 'stroke-width': 2.6, 'stroke-dasharray': dash }),
    )
  sheet.draw(
    element('path', { d: hatchAlong(line.screen, line.family ?? 0), fill: 'none', stroke: ink, 'stroke-width': 1 }),
  )
}

/** The stretches of a line just beside which, on its met side, an area lies. */
function bounding(line: Drawn, area: readonly MapRing[], { ranges }: MapAnswer): Screen[][] {
  const parts: Screen[][] = []
  let part: Screen[] = []
  const [width, height] = [ranges.across[1] - ranges.across[0], ranges.up[1] - ranges.up[0]]
  for (let k = 0; k + 1 < line.points.length; k++) {
    const [[a, b], [c, d]] = [line.points[k]!, line.points[k + 1]!]
    const [dx, dy] = [(c - a) / width, (d - b) / height]
    const length = Math.hypot(dx, dy) || 1
    // The met side lies to the left of the line's way.
    const beside: MapPlace = [(a + c) / 2 - (1e-3 * width * dy) / length, (b + d) / 2 + (1e-3 * height * dx) / length]
    if (insideRings(area, beside)) {
      if (part.length === 0) part.push(line.screen[k]!)
      part.push(line.screen[k + 1]!)
    } else if (part.length > 0) {
      parts.push(part)
      part = []
    }
  }
  if (part.length > 0) parts.push(part)
  return parts
}

const LIMIT = /^(.*?) (at least|at most|within|equal to) (.*)$/

/** The least height of a label of one line [px]. */
const ONE_LINE = 19

/** Names of the lines in the right margin, pushed apart, each with a leader to where its line comes nearest. */
export function lineLabels(
  sheet: Sheet,
  subject: MapSubject,
  lines: readonly Drawn[],
  { right, top, bottom, margin, roomy }: MapFrame,
): void {
  const { theme } = subject
  const seen = new Map<string, { first: string; second: string; from: Screen; ink: string }>()
  for (const line of lines) {
    const text = textOf(line.target)
    const [, limited, kind, limit] = LIMIT.exec(text) ?? [text, text, '', '']
    const second =
      kind === 'within'
        ? line.end === 'low'
          ? `at least ${limit!.split(' to ')[0]}`
          : `at most ${limit!.split(' to ').at(-1)}`
        : `${kind} ${limit}`
    const from = line.screen.reduce((best, each) => (each[0] > best[0] ? each : best), line.screen[0]!)
    const key = `${text} ${line.end}`
    const known = seen.get(key)
    if (!known || from[0] > known.from[0]) seen.set(key, { first: limited!, second, from, ink: inkOf(subject, text) })
  }
  const labels = [...seen.values()].sort((a, b) => a.from[1] - b.from[1])
  const gap = roomy ? 44 : 38
  const [low, high] = [top + 8, bottom - 20]
  // Where there is no room for all of them in two lines, each is its name and its number in one.
  const tight = (labels.length - 1) * gap > high - low
  const heights = movedApart(
    labels.map(label => label.from[1]),
    tight ? ONE_LINE : gap,
    low,
    high,
  )
  labels.forEach(({ first, second, from, ink }, k) => {
    const y = heights[k]!
    sheet.draw(
      element('path', {
        d: path([from, [Math.max(from[0], right) + 8, y], [margin - 5, y]]),
        fill: 'none',
        stroke: ink,
        'stroke-width': 1,
      }),
    )
    if (tight) {
      const [number = ''] = second.replace(/^(at least|at most|within|equal to) /, '').split(' ± ')
      const name = cut(first, Math.max(2, (roomy ? 26 : 15) - number.length - 1))
      sheet.write(`${name} ${number}`, margin, y + 5, { size: 15, ink })
      return
    }
    sheet.write(cut(first, roomy ? 24 : 14), margin, y - 2, { size: 15, bold: true, ink })
    sheet.write(cut(second, roomy ? 26 : 16), margin, y + 15, { size: 15, ink: theme.ink })
  })
}

/** The lines of a map on the picture, each with its target and the family of its hatching. */
export function drawnLines({ map, answer }: MapSubject, at: (place: MapPlace) => Screen): readonly Drawn[] {
  const families = new Map(answer.targets.map((target, place) => [target.text, { target, family: place }]))
  return map.lines.map(line => ({ ...line, screen: line.points.map(at), ...families.get(line.target) }))
}
