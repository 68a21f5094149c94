import type { MapAnswer, MapPlace, MapRing } from '../map-answer.ts'
import type { Sheet } from './label.ts'
import type { Screen } from './map-frame.ts'
import { element, path } from './svg.ts'
import type { Theme } from './theme.ts'

/** The ground where targets are met, the lined part where every must is; `prefix` tells the patterns of several pictures on one page apart. */
export function ground(sheet: Sheet, map: MapAnswer, at: (place: MapPlace) => Screen, theme: Theme, prefix = ''): void {
  const area = (rings: readonly MapRing[]): string => rings.map(ring => `${path(ring.map(at))}Z`).join('')
  const fill = (rings: readonly MapRing[], paint: string, opacity?: number): void => {
    if (rings.length > 0)
      sheet.draw(element('path', { d: area(rings), fill: paint, 'fill-rule': 'evenodd', 'fill-opacity': opacity }))
  }
  fill(map.pad, `url(#${prefix}crossed)`)
  fill(map.region, `url(#${prefix}lined)`)
  if (map.lines.some(line => line.level === 'should')) fill(map.wanted, theme.room, 0.33)
}

/** Lines across a wash, so that the ground reads in grey. */
function linedWash(theme: Theme, prefix: string): string {
  return element(
    'pattern',
    { id: `${prefix}lined`, width: 6, height: 6, patternUnits: 'userSpaceOnUse' },
    element('rect', { width: 6, height: 6, fill: theme.wash }),
    element('line', { x1: 0, y1: 3, x2: 6, y2: 3, stroke: theme.room, 'stroke-width': 0.7 }),
  )
}

function crossed(theme: Theme, prefix: string): string {
  return element(
    'pattern',
    { id: `${prefix}crossed`, width: 10, height: 10, patternUnits: 'userSpaceOnUse' },
    element('path', { d: 'M2 2l6 6M8 2l-6 6', stroke: theme.hair, 'stroke-width': 1.2 }),
  )
}

/** The patterns that a ground is filled with. */
export function patterns(theme: Theme, prefix = ''): readonly string[] {
  return [linedWash(theme, prefix), crossed(theme, prefix)]
}
