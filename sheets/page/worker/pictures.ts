import type { Answer, FlightAnswer } from '../../answer.ts'
import type { MapAnswer } from '../../map-answer.ts'
import { flightPicture } from '../../picture/flight-picture.ts'
import { detailPicture } from '../../picture/map-detail.ts'
import type { MapSubject } from '../../picture/map-lines.ts'
import { mapPicture } from '../../picture/map-picture.ts'
import type { DetailShown, FlightView, MapShown } from '../spoken.ts'
import { PAGE_THEME } from './inks.ts'

/** A flight as it is shown; drawn through fewer moments while a hand is `moving`. */
export function flightView(
  name: string,
  flight: FlightAnswer,
  answer: Answer,
  width: number,
  moving: boolean,
): FlightView | null {
  if (flight.history.rows.length === 0) return null
  const { targets } = answer.conflict?.compromise ?? answer
  const drawn = moving ? thinned(flight) : flight
  const picture = flightPicture({
    title: name,
    settings: '',
    flight: drawn,
    targets,
    theme: PAGE_THEME,
    part: { width },
  })
  const { columns, units, rows } = flight.history
  return {
    name,
    names: Object.keys(answer.flights),
    svg: picture.svg,
    width: picture.width,
    height: picture.height,
    left: picture.frame.left,
    right: picture.frame.right,
    top: picture.frame.top,
    end: rows.at(-1)![0]!,
    columns,
    units,
    rows: flat(rows, columns.length),
  }
}

function flat(rows: FlightAnswer['history']['rows'], width: number): Float64Array {
  const all = new Float64Array(rows.length * width)
  for (const [k, row] of rows.entries()) all.set(row, k * width)
  return all
}

/** One moment in so many makes a curve that an eye in motion takes for the same. */
const EVERY = 3

/** A flight through fewer moments: those of its events and jumps, and the highest of each column, are kept. */
function thinned(flight: FlightAnswer): FlightAnswer {
  const { rows, columns } = flight.history
  const kept = new Set([rows.length - 1])
  for (let column = 1; column < columns.length; column++) {
    let highest = 0
    for (let k = 1; k < rows.length; k++) if (rows[k]![column]! > rows[highest]![column]!) highest = k
    kept.add(highest)
  }
  const events = new Set(flight.events.map(({ time }) => time))
  const marked = (row: ArrayLike<number>, other: ArrayLike<number> | undefined): boolean =>
    events.has(row[0]!) || row[0] === other?.[0]
  const fewer = rows.filter(
    (row, k) => k % EVERY === 0 || kept.has(k) || marked(row, rows[k - 1]) || marked(row, rows[k + 1]),
  )
  return { ...flight, history: { ...flight.history, rows: fewer } }
}

/** How wide the map and its detail are drawn [px]; whether it is one of few cells, and one that waits for nothing. */
export interface MapWishes {
  readonly width: number
  readonly detail: number
  readonly coarse: boolean
  readonly quick: boolean
}

export function mapShown(
  map: MapAnswer,
  answer: Answer,
  { width, detail, coarse, quick }: MapWishes,
): Omit<MapShown, 'stamp'> {
  const subject = { map, answer, theme: PAGE_THEME, source: '', part: { width, quick } }
  const picture = mapPicture(subject)
  const { left, top, right, bottom } = picture.frame
  return {
    svg: picture.svg,
    width: picture.width,
    height: picture.height,
    frame: [left, top, right, bottom],
    across: { lever: map.across, range: map.ranges.across },
    up: { lever: map.up, range: map.ranges.up },
    numbers: picture.labels.flatMap(({ x, y, width, height }) => {
      const beside = x + width < left && y > top - height && y < bottom
      const beneath = y > bottom && y < bottom + 2 * height
      return beside || beneath ? [[x, y, width, height] as const] : []
    }),
    mark: map.solution ?? map.compromise,
    clear: map.region.length > 0,
    coarse,
    detail: coarse ? null : detailShown(subject, detail),
    words: wordsOf(map),
  }
}

function detailShown(subject: MapSubject, width: number): DetailShown | null {
  const picture = detailPicture(subject, width)
  if (!picture) return null
  const { left, top, right, bottom } = picture.frame
  const { across, up } = picture.window
  return { svg: picture.svg, width, height: picture.height, frame: [left, top, right, bottom], across, up }
}

/** What the map shows, for those who do not see it. */
function wordsOf({ across, up, region, solution }: MapAnswer): string {
  const ground = region.length === 0 ? 'nowhere is every must met' : 'the lined ground is where every must is met'
  return `Trade map of ${across} and ${up}: ${ground}${solution ? '' : '; the open mark is the closest compromise'}.`
}
