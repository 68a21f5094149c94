import { contours } from 'd3-contour'
import fc from 'fast-check'
import clipping, { type MultiPolygon, type Pair } from 'polygon-clipping'
import { expect, test } from 'vitest'
import { areaWhere, cut, frame, joined, ringsOf } from '../../solver/map/trace.ts'
import { area, inside } from '../support/rings.ts'

// Source: straight lines between the places of a raster, worked out for each place by itself; polygon-clipping (MIT) for what areas have in common.

const CELLS = 6
const rasters = fc
  .array(fc.oneof(fc.double({ min: -1, max: 1, noNaN: true }), fc.constant(Number.NaN)), {
    minLength: (CELLS + 1) ** 2,
    maxLength: (CELLS + 1) ** 2,
  })
  .map(values => Float64Array.from(values))
const edges = Array.from({ length: CELLS + 1 }, (_, k) => k)

/** The clipper loses its way between places that differ in their last bits alone. */
function onGrid(place: number): number {
  return Math.round(place * 2 ** 30) / 2 ** 30
}

/** The same by clipping what contours draw, half a step off, by the frame. */
function clipped(raster: Float64Array): MultiPolygon {
  const values = Array.from(raster, value => (value <= 0 ? -value || Number.MIN_VALUE : value > 0 ? -value : -1e300))
  const { coordinates } = contours()
    .size([CELLS + 1, CELLS + 1])
    .contour(values, 0)
  const shifted = (coordinates as MultiPolygon).map(polygon =>
    polygon.map(ring => ring.map(([x, y]): Pair => [onGrid(x - 0.5), onGrid(y - 0.5)])),
  )
  return shifted.length === 0 ? [] : clipping.intersection(shifted, [frame(CELLS)])
}

test('an area is what the frame leaves of its contours, islands at its sides and in its corners among them', () => {
  fc.assert(
    fc.property(rasters, raster => {
      const rings = ringsOf(areaWhere(raster, 1, 0, CELLS))
      expect(area(rings)).toBeCloseTo(area(ringsOf(clipped(raster))), 7)
      for (const ring of rings) {
        expect(ring.length).toBeGreaterThan(3)
        expect(ring.at(-1)).toEqual(ring[0])
        for (const [x, y] of ring) expect(Math.min(x, y) >= 0 && Math.max(x, y) <= CELLS).toBe(true)
      }
    }),
    { numRuns: 300 },
  )
})

test('an area has every place of the raster that is kept, and no other', () => {
  const clear = rasters.map(raster => raster.map(value => (Math.abs(value) >= 0.01 ? value : 0.5)))
  fc.assert(
    fc.property(clear, raster => {
      const rings = ringsOf(areaWhere(raster, 1, 0, CELLS))
      for (const j of edges)
        for (const i of edges) {
          // A hair towards the middle: the frame's own places lie on the rings.
          const place = [i + 1e-7 * Math.sign(CELLS / 2 - i), j + 3e-8 * Math.sign(CELLS / 2 - j)] as const
          expect([i, j, inside(rings, place)]).toEqual([i, j, raster[j * (CELLS + 1) + i]! <= 0])
        }
    }),
    { numRuns: 200 },
  )
})

test('what areas have in common is what the clipper says, whole and empty ones among them', () => {
  const whole = [frame(CELLS)]
  fc.assert(
    fc.property(rasters, rasters, (one, other) => {
      const [a, b] = [areaWhere(one, 1, 0.2, CELLS), areaWhere(other, -1, -0.2, CELLS)]
      const common = a.length === 0 || b.length === 0 ? 0 : area(ringsOf(clipping.intersection(a, b)))
      expect(area(ringsOf(cut([a, whole, b], CELLS)))).toBeCloseTo(common, 9)
      expect(cut([a, [], b], CELLS)).toEqual([])
      expect(joined([a, whole], CELLS)).toEqual(whole)
      expect(joined([[], a], CELLS)).toEqual(a)
    }),
    { numRuns: 60 },
  )
  expect(cut([whole, whole], CELLS)).toEqual(whole)
  expect(cut([], CELLS)).toEqual([])
})
