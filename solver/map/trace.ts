import { contours } from 'd3-contour'
import clipping, { type MultiPolygon, type Pair, type Polygon, type Ring } from 'polygon-clipping'

/** A place on the map in grid steps, across and up. */
export type Place = readonly [number, number]
/** Closed rings, first place repeated last, inside by the even-odd rule. */
export type Rings = readonly (readonly Place[])[]

/** What stands for no value: far outside. */
const FAR_BELOW = -1e300

/** The whole map as an area. */
export function frame(cells: number): Polygon {
  return [
    [
      [0, 0],
      [cells, 0],
      [cells, cells],
      [0, cells],
      [0, 0],
    ],
  ]
}

/** The area where `side · (limit − raster)` is zero or more, over (cells + 1)² values; NaN counts as below. Places between points are linear. */
export function areaWhere(raster: Float64Array, side: 1 | -1, limit: number, cells: number): MultiPolygon {
  const width = cells + 1
  const values = new Array<number>(raster.length)
  let inside = 0
  for (let k = 0; k < raster.length; k++) {
    const value = side * (limit - raster[k]!)
    // A point on the very limit stands a hair inside: contours take it for outside.
    values[k] = value >= 0 ? value || Number.MIN_VALUE : value < 0 ? value : FAR_BELOW
    if (value >= 0) inside++
  }
  if (inside === 0) return []
  if (inside === raster.length) return [frame(cells)]
  const found = contours().size([width, width]).contour(values, 0)
  return (found.coordinates as MultiPolygon).flatMap(polygon => {
    const rings = polygon.flatMap(ring => inFrame(ring, cells))
    return rings.length === 0 ? [] : [rings]
  })
}

/**
 * A ring of a contour as a ring of the map, its inside to the left of its way; none where nothing is left of it. Points stand in the middle
 * of the squares that contours are drawn through, so that half a step is taken off. What reaches out of the frame by that half a step lies
 * along it once it is pushed back.
 */
function inFrame(ring: readonly Pair[], cells: number): readonly Ring[] {
  const inside = (u: number): number => Math.min(cells, Math.max(0, u - 0.5))
  const places: Pair[] = []
  for (let k = ring.length - 1; k > 0; k--) {
    const [x, y] = ring[k]!
    const place: Pair = [inside(x), inside(y)]
    const last = places.at(-1)
    if (!(last && same(last, place))) places.push(place)
  }
  // Both ends may have been pushed to one corner.
  while (places.length > 1 && same(places[0]!, places.at(-1)!)) places.pop()
  const corners = places.filter((place, k) => isCorner(places.at(k - 1)!, place, places[(k + 1) % places.length]!))
  return corners.length < 3 ? [] : [[...corners, corners[0]!]]
}

/** Whether a way turns at a place. */
function isCorner([x, y]: Place, [u, v]: Place, [s, t]: Place): boolean {
  const turn = (u - x) * (t - v) - (v - y) * (s - u)
  return Math.abs(turn) > 1e-9 * Math.hypot(u - x, v - y) * Math.hypot(s - u, t - v)
}

/** What some areas have in common. */
export function cut(areas: readonly MultiPolygon[], cells: number): MultiPolygon {
  if (areas.some(area => area.length === 0)) return []
  const [first, ...rest] = areas.filter(area => !isWhole(area, cells))
  if (first === undefined) return areas.length === 0 ? [] : [frame(cells)]
  return rest.length === 0 ? first : clipping.intersection(first, ...rest)
}

/** All of some areas. */
export function joined(areas: readonly MultiPolygon[], cells: number): MultiPolygon {
  if (areas.some(area => isWhole(area, cells))) return [frame(cells)]
  const [first, ...rest] = areas.filter(area => area.length > 0)
  if (first === undefined) return []
  return rest.length === 0 ? first : clipping.union(first, ...rest)
}

function isWhole(area: MultiPolygon, cells: number): boolean {
  const [ring, ...holes] = area.length === 1 ? area[0]! : []
  const corner = (u: number): boolean => u === 0 || u === cells
  return ring?.length === 5 && holes.length === 0 && ring.every(([x, y]) => corner(x) && corner(y))
}

/** The rings of an area. */
export function ringsOf(area: MultiPolygon): Rings {
  return area.flat()
}

/** The border of an area as open or closed lines, without what runs along the frame. */
export function bordersOf(area: MultiPolygon, cells: number): readonly (readonly Place[])[] {
  const onFrame = ([x, y]: Place, [u, v]: Place): boolean =>
    (near(x, u) && (near(x, 0) || near(x, cells))) || (near(y, v) && (near(y, 0) || near(y, cells)))
  return ringsOf(area).flatMap(ring => {
    const lines: Place[][] = []
    let line: Place[] = []
    const end = (): void => {
      if (line.length > 1) lines.push(line)
      line = []
    }
    for (let k = 0; k + 1 < ring.length; k++) {
      const [from, to] = [ring[k]!, ring[k + 1]!]
      if (onFrame(from, to)) {
        end()
        continue
      }
      if (line.length === 0) line.push(from)
      line.push(to)
    }
    end()
    // A ring begins anywhere: its first and last stretch may be one line.
    const [first, last] = [lines[0], lines.at(-1)]
    if (first && last && lines.length > 1 && same(last.at(-1)!, first[0]!)) {
      lines.pop()
      lines[0] = [...last, ...first.slice(1)]
    }
    return lines
  })
}

function near(a: number, b: number): boolean {
  return Math.abs(a - b) < 1e-9
}

function same(a: Place, b: Place): boolean {
  return near(a[0], b[0]) && near(a[1], b[1])
}
