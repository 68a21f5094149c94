import { contours } from 'd3-contour'
import clipping, { type MultiPolygon, type Pair, type Polygon } from 'polygon-clipping'

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
  // Points stand in the middle of the squares that contours are drawn through: half a step is taken off, and what reaches out is cut.
  const shifted = (found.coordinates as MultiPolygon).map(polygon =>
    polygon.map(ring => ring.map(([x, y]): Pair => [x - 0.5, y - 0.5])),
  )
  return cut([shifted, [frame(cells)]])
}

/** What some areas have in common. */
export function cut(areas: readonly MultiPolygon[]): MultiPolygon {
  const [first, ...rest] = areas
  if (first === undefined || areas.some(area => area.length === 0)) return []
  return clipping.intersection(first, ...rest)
}

/** All of some areas. */
export function joined(areas: readonly MultiPolygon[]): MultiPolygon {
  const [first, ...rest] = areas
  return first === undefined ? [] : clipping.union(first, ...rest)
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
