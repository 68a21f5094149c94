import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'
import type { MapAnswer, MapPlace } from '../../sheets/map-answer.ts'
import { area, inside } from '../support/rings.ts'
import { wantedAt } from '../support/wanted.ts'

const heron = readFileSync('sheets/examples/heron.loft', 'utf8')

/** How far a place is from the nearest limit line, in cells of a map of 200 each way. */
function cellsToLine({ lines, ranges }: MapAnswer, [x, y]: MapPlace): number {
  const cell = [(ranges.across[1] - ranges.across[0]) / 200, (ranges.up[1] - ranges.up[0]) / 200] as const
  let nearest = Number.POSITIVE_INFINITY
  for (const { points } of lines)
    for (let k = 0; k + 1 < points.length; k++) {
      const [p, q] = [points[k]!, points[k + 1]!].map(([u, v]) => [(u - x) / cell[0], (v - y) / cell[1]] as const)
      const [dx, dy] = [q![0] - p![0], q![1] - p![1]]
      const share = Math.min(1, Math.max(0, -(p![0] * dx + p![1] * dy) / (dx * dx + dy * dy || 1)))
      nearest = Math.min(nearest, Math.hypot(p![0] + share * dx, p![1] + share * dy))
    }
  return nearest
}

describe('the map of the Heron sheet', () => {
  const map = openSheet(heron).map({ across: 'fuel fraction', up: 'throttle cap' })
  const wanted = wantedAt(heron)
  const known = new Map<string, Readonly<Record<string, number>>>()
  const at = (load: number, cap: number): Readonly<Record<string, number>> => {
    const key = `${load} ${cap}`
    const figures = known.get(key) ?? wanted({ 'fuel fraction': load, 'throttle cap': cap })
    known.set(key, figures)
    return figures
  }

  test('agrees with every one of the 5,041 settings, but within a tenth of a cell of a limit', () => {
    let wrong = 0
    const met: MapPlace[] = []
    for (let load = 30; load <= 100; load++)
      for (let cap = 30; cap <= 100; cap++) {
        const place: MapPlace = [load / 100, cap / 100]
        const figures = at(...place)
        const all = figures['liftoff ratio']! >= 2 && figures['peak g']! <= 6 * 9.80665 && figures['max q']! <= 70e3
        if (all) met.push(place)
        const band = all && figures.apoapsis! >= 100e3 && figures.apoapsis! <= 110e3
        // The frame itself may fall to either side.
        if (load === 30 || load === 100 || cap === 30 || cap === 100) continue
        if (inside(map.region, place) === all && inside(map.wanted, place) === band) continue
        expect(cellsToLine(map, place)).toBeLessThan(0.1)
        wrong++
      }
    expect(wrong).toBeLessThan(20)
    expect(met.length).toBe(808)
    expect(map.settings).toEqual([])
  })

  test('every line runs where its target is at its limit, to a tenth of a cell, with the met side on its left', () => {
    const cell = 0.7 / 200
    const limits: Record<string, [string, number]> = {
      'liftoff ratio at least 2 low': ['liftoff ratio', 2],
      'peak g at most 6 g0 high': ['peak g', 6 * 9.80665],
      'max q at most 70 kPa high': ['max q', 70e3],
      'apoapsis within 100 km to 110 km low': ['apoapsis', 100e3],
      'apoapsis within 100 km to 110 km high': ['apoapsis', 110e3],
    }
    const seen = new Set<string>()
    let worst = 0
    for (const { target, end, points } of map.lines) {
      const [name, limit] = limits[`${target} ${end}`]!
      seen.add(`${target} ${end}`)
      for (let k = 3; k + 3 < points.length; k += 7) {
        const [x, y] = points[k]!
        if (Math.min(x, y) < 0.302 || Math.max(x, y) > 0.998) continue
        const step = 1e-5
        const value = at(x, y)[name]!
        const slopes = [(at(x + step, y)[name]! - value) / step, (at(x, y + step)[name]! - value) / step] as const
        worst = Math.max(worst, Math.abs(value - limit) / Math.hypot(...slopes) / cell)
        const [p, q] = [points[k - 1]!, points[k + 1]!]
        const left = -(q[1] - p[1]) * slopes[0] + (q[0] - p[0]) * slopes[1]
        expect(Math.sign(left)).toBe(end === 'low' ? 1 : -1)
      }
    }
    expect(seen.size).toBe(5)
    expect(worst).toBeLessThan(0.1)
    expect(worst).toBeGreaterThan(0)
  })

  test('says where the solution is, the axes, and the contours of the aim', () => {
    expect(map.solution).toEqual([0.92, 0.61])
    expect([map.across, map.up, map.units]).toEqual(['fuel fraction', 'throttle cap', { across: '%', up: '%' }])
    expect(map.aim!.text).toBe('least propellant mass')
    for (const { si, points } of map.aim!.contours) for (const [x] of points) expect(300 * x).toBeCloseTo(si, 6)
    expect(map.pad).toEqual([])
  })

  test('takes few flights', () => {
    expect(map.work.flights).toBeLessThan(2000)
  })

  test('lists the settings inside where they are few', () => {
    const text = heron.replace('at least 2', 'at least 2.1').replace('should apoapsis', 'must apoapsis')
    const { settings } = openSheet(text).map()
    const found: MapPlace[] = []
    for (let load = 30; load <= 100; load++)
      for (let cap = 30; cap <= 100; cap++) {
        const figures = at(load / 100, cap / 100)
        if (
          figures['liftoff ratio']! >= 2.1 &&
          figures['peak g']! <= 6 * 9.80665 &&
          figures['max q']! <= 70e3 &&
          figures.apoapsis! >= 100e3 &&
          figures.apoapsis! <= 110e3
        )
          found.push([load / 100, cap / 100])
      }
    expect(found.length).toBeGreaterThan(2)
    expect(settings).toEqual(found)
  })
})

test('where the rocket never leaves the pad is told', () => {
  const map = openSheet(
    heron.replace('from 30 % to 100 % in steps of 1 %   # the', 'from 5 % to 100 % in steps of 1 %   # the'),
  ).map()
  // By hand: propellant burns on the pad, so it never rises where even the empty rocket's 165 kg outweigh 15.4 kN of the cap.
  for (const [load, cap] of [
    [0.4, 0.07],
    [0.9, 0.1],
    [0.9, 0.11],
    [0.4, 0.3],
  ] as const)
    expect(inside(map.pad, [load, cap])).toBe(cap * 15.4e3 < 165 * 9.80665)
})

test('an island four cells wide is found wherever it lies, in its true size', () => {
  fc.assert(
    fc.property(
      fc.double({ min: 0.05, max: 0.95, noNaN: true }),
      fc.double({ min: 0.05, max: 0.95, noNaN: true }),
      (x, y) => {
        const text = `lever p from 0 to 1\nlever q from 0 to 1\nmust (p - ${x.toFixed(6)})^2 + (q - ${y.toFixed(6)})^2 at most 0.0001`
        const { region } = openSheet(text).map({ across: 'p', up: 'q' })
        expect(area(region) / (Math.PI * 1e-4)).toBeGreaterThan(0.9)
        expect(area(region) / (Math.PI * 1e-4)).toBeLessThan(1.1)
      },
    ),
    { numRuns: 30 },
  )
})

test('rings, holes and corners come out as they are by hand', () => {
  const ring = openSheet('lever p from -2 to 2\nlever q from -2 to 2\nmust p^2 + q^2 within 1 to 2').map()
  const [outer, hole] = [...ring.region].map(each => area([each])).sort((a, b) => b - a)
  expect(outer! - hole!).toBeCloseTo(Math.PI, 2)
  const corner = openSheet(
    'lever p from 0 to 1\nlever q from 0 to 1\nmust p + q at most 1\nmust p at least 0.25\nmust q at least 0.25',
  ).map()
  expect(area(corner.region)).toBeCloseTo(0.125, 9)
  expect(corner.region[0]!.length).toBe(4)
})

test('what lies in a corner of the map is told whole, however fine the cells', () => {
  // A triangle of 2 m by 2 m in each corner of a map of 10 m by 10 m.
  const x = ['x', '(10 m - x)']
  const y = ['y', '(10 m - y)']
  for (const across of x)
    for (const up of y)
      for (const cells of [16, 48, 200]) {
        const text = `lever x from 0 m to 10 m\nlever y from 0 m to 10 m\nmust ${across} + ${up} at most 2 m`
        const { region, lines } = openSheet(text).map({ cells })
        expect([across, up, cells, area(region)]).toEqual([across, up, cells, expect.closeTo(2, 9)])
        expect(lines).toHaveLength(1)
      }
})

test('other levers are held where the sheet is solved, and one that is set is no axis', () => {
  const text =
    'lever a from 0 to 4 in steps of 1\nlever b from 0 to 1\nlever c from 0 to 1\nmust a + b + c at least 3\naim least a\naim least b'
  const map = openSheet(text).map()
  expect([map.across, map.up, map.others]).toEqual(['a', 'b', { c: { si: 1, text: '1' } }])
  expect(openSheet(text).map({ set: { a: 2 } }).across).toBe('b')
  expect(openSheet(text).map({ across: 'a', up: 'd' }).problems[0]!.message).toContain('"d" is no lever')
  expect(openSheet('lever a from 0 to 1\nmust a at least 0.5').map().problems[0]!.message).toContain('only one is free')
})

test('others solved anew at each place widen the region to wherever some setting of them does', () => {
  const text =
    'lever a from 0 to 4\nlever b from 0 to 1\nlever c from 0 to 1\nmust a + b + c at least 3\nmust c * b at most 0.25\naim least a'
  const map = openSheet(text).map({ across: 'a', up: 'b', others: 'solve' })
  expect([map.others, map.lines]).toEqual([{}, []])
  for (let i = 1; i < 16; i++)
    for (let j = 1; j < 16; j++) {
      const [a, b] = [(4 * i) / 16 + 0.01, j / 16 + 0.003]
      // By hand: the most that c may be is 1, or 0.25 / b.
      const room = a + b + Math.min(1, 0.25 / b) - 3
      if (Math.abs(room) > 0.1) expect(inside(map.region, [a, b]), `${a} ${b}`).toBe(room > 0)
    }
})

test('a conflict has a map with its compromise', () => {
  const map = openSheet(heron.replace('6 g0', '5 g0').replace('should apoapsis', 'must apoapsis')).map()
  expect([map.outcome, map.region, map.solution]).toEqual(['conflict', [], null])
  expect(map.compromise).toEqual([0.94, 0.53])
})
