import type { Answer, FlightAnswer } from '../../answer.ts'
import type { MapAnswer } from '../../map-answer.ts'
import { flightPicture } from '../../picture/flight-picture.ts'
import { mapPicture } from '../../picture/map-picture.ts'
import type { Theme } from '../../picture/theme.ts'
import type { FlightView, MapView } from '../spoken.ts'

/** The page's own inks: pictures follow its ground without being drawn anew. */
export const PAGE_THEME: Theme = {
  name: 'paper',
  ground: 'var(--ground)',
  field: 'var(--field)',
  ink: 'var(--ink)',
  pencil: 'var(--pencil)',
  room: 'var(--room)',
  limit: 'var(--limit)',
  short: 'var(--short)',
  hair: 'var(--hair)',
  wash: 'var(--wash)',
}

export function flightView(name: string, flight: FlightAnswer, answer: Answer): FlightView | null {
  if (flight.history.rows.length === 0) return null
  const picture = flightPicture({ title: '', settings: '', flight, targets: answer.targets, theme: PAGE_THEME })
  const { columns, units, rows } = flight.history
  return {
    name,
    svg: picture.svg,
    width: picture.width,
    height: picture.height,
    left: 104,
    right: 1030,
    end: rows.at(-1)![0]!,
    columns,
    units,
    rows,
  }
}

export function mapView(map: MapAnswer, answer: Answer, coarse: boolean): MapView {
  const picture = mapPicture({ map, answer, theme: PAGE_THEME, source: '' })
  return {
    svg: picture.svg,
    width: picture.width,
    height: picture.height,
    frame: [104, 174, 850, 760],
    across: { lever: map.across, range: map.ranges.across },
    up: { lever: map.up, range: map.ranges.up },
    mark: map.solution ?? map.compromise,
    coarse,
    words: wordsOf(map),
  }
}

/** What the map shows, for those who do not see it. */
function wordsOf({ across, up, region, solution }: MapAnswer): string {
  const ground = region.length === 0 ? 'nowhere is every must met' : 'the lined ground is where every must is met'
  return `Trade map of ${across} and ${up}: ${ground}${solution ? '' : '; the open mark is the closest compromise'}.`
}
