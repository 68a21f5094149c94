import { describe, expect, test } from 'vitest'
import { airAt, airSlope, EARTH } from '../../solver/flight/air.ts'
import { airByTable, airTableFault } from '../../solver/flight/air-table.ts'
import { airTurns } from '../../solver/flight/air-turns.ts'
import type { BodyNumbers } from '../../solver/flight/plan.ts'
import { takeNumbers } from '../../solver/flight/slab.ts'
import { warmDay } from '../../solver/flight/warm-day.ts'
import { MOON, marsBody } from '../../solver/flight/worlds.ts'
import type { AirProperty } from '../../solver/model/expr.ts'

// Source: differences of the values themselves, and what a property that only rises or only falls must do.

const PROPERTIES: readonly AirProperty[] = ['pressure', 'density', 'temperature', 'sound speed', 'gravity']
const altitude = Float64Array.from({ length: 9 }, (_, k) => 6000 * k - 2000)
const pressure = altitude.map(h => 7e4 * Math.exp(-h / 8000))
const temperature = altitude.map((_, k) => 260 + 30 * Math.sin(k))
const table = { altitude, pressure, temperature, density: null }
const small = { radius: 6e5, gravity: 3 }

const exponential: BodyNumbers = {
  ...small,
  air: { kind: 'exponential', pressure: 1e5, density: 2, scaleHeight: 6000, soundSpeed: 300, top: 6e4 },
}
const tabled: BodyNumbers = { ...small, air: airByTable(table, small.radius, small.gravity, Number.NaN) }

const bodies: readonly (readonly [string, BodyNumbers, number, number])[] = [
  ['Earth', EARTH, -4000, 990e3],
  ['Earth on a hot day', { ...EARTH, air: warmDay(25) }, -4000, 990e3],
  ['Earth on a cold day', { ...EARTH, air: warmDay(-40) }, -4000, 990e3],
  ['Mars', marsBody(), -9000, 85e3],
  ['the Moon', MOON, -9000, 85e3],
  ['exponential air', exponential, -5000, 65e3],
  ['air by a table', tabled, -1900, 50e3],
  [
    'air by a table with a sound speed',
    { ...small, air: airByTable(table, small.radius, small.gravity, 290) },
    -1900,
    50e3,
  ],
]

describe.each(bodies)('%s', (_, body, from, to) => {
  const heights = Array.from({ length: 160 }, (__, k) => from + (to - from) * ((k + 0.37) / 160) ** 2)
  test.each(PROPERTIES)('has a slope of %s that differences of it give', property => {
    for (const h of heights) {
      const at = (off: number): number => airAt(body, property, h + off)
      const step = 1
      const slope = airSlope(body, property, h)
      if (Number.isNaN(at(0))) {
        expect(slope).toBeNaN()
        continue
      }
      const turns = airTurns(body, property)?.turns ?? altitude
      if (turns.some(turn => Math.abs(turn - h) < 2 * step)) continue
      const expected = (at(step) - at(-step)) / (2 * step)
      expect(Math.abs(slope - expected)).toBeLessThanOrEqual(2e-6 * Math.abs(expected) + 1e-9 * Math.abs(at(0)))
    }
  })
  test.each(PROPERTIES)('has a %s that only rises or only falls between its turns', property => {
    const known = airTurns(body, property)
    if (known === null) {
      expect(property).toBe('sound speed')
      return
    }
    expect(known.floor).toBeLessThanOrEqual(from)
    const all = heights.filter(h => h >= known.floor)
    let way = 0
    all.slice(1).forEach((h, k) => {
      const before = all[k]!
      if (known.turns.some(turn => turn > before && turn <= h)) way = 0
      const step = airAt(body, property, h) - airAt(body, property, before)
      const size = 1e-12 * Math.abs(airAt(body, property, h))
      if (!(Math.abs(step) > size)) return
      if (way !== 0) expect([property, h, Math.sign(step)]).toEqual([property, h, way])
      way = Math.sign(step)
    })
  })
})

test('gravity falls with the square of the distance and ends at the centre', () => {
  expect(airAt(MOON, 'gravity', MOON.radius)).toBeCloseTo(MOON.gravity / 4, 12)
  expect(airAt(MOON, 'gravity', -MOON.radius / 2)).toBeCloseTo(MOON.gravity * 4, 12)
  expect(airAt(MOON, 'gravity', -MOON.radius)).toBeNaN()
  expect(airTurns(MOON, 'gravity')).toEqual({ floor: -MOON.radius, turns: [] })
})

test('at an edge of the standard’s temperature its slope is that of the upper side', () => {
  for (const edge of [86000, 91000, 110000, 120000]) {
    const above = airSlope(EARTH, 'temperature', edge + 1e-3)
    expect(Math.abs(airSlope(EARTH, 'temperature', edge) - above)).toBeLessThan(1e-6)
  }
})

test('air that is none has no pressure and no density, and tells no more', () => {
  for (const [body, h] of [
    [MOON, 0],
    [marsBody(), 80000.01],
    [EARTH, 1000000.01],
    [exponential, 60000.01],
    [tabled, altitude[8]! + 0.01],
  ] as const) {
    expect([airAt(body, 'pressure', h), airAt(body, 'density', h)]).toEqual([0, 0])
    expect([airAt(body, 'temperature', h), airAt(body, 'sound speed', h)]).toEqual([Number.NaN, Number.NaN])
    // At the top itself there is air.
    for (const property of ['pressure', 'density'] as const)
      expect(airAt(body, property, h - 0.01) > 0).toBe(body.air !== null)
  }
})

describe('rows of air', () => {
  const density = pressure.map(p => p / 1e5)
  test.each([
    [null, { altitude, pressure, temperature: null, density: null }],
    [null, { altitude, pressure: null, temperature, density }],
    ['the air table tells neither pressure nor density', { altitude, pressure: null, temperature, density: null }],
    [
      'the air table has a pressure that is not above zero',
      { altitude, pressure: pressure.with(8, 0), temperature, density },
    ],
    [
      'the air table has a density that is not above zero',
      { altitude, pressure, temperature, density: density.with(0, -1) },
    ],
    [
      'the air table has a temperature that is not above zero',
      { altitude, pressure, temperature: temperature.with(3, Number.NaN), density },
    ],
  ])('%s', (fault, rows) => expect(airTableFault(rows)).toBe(fault))
  test('are laid out anew for another body or sound speed, and kept for the same', () => {
    const once = airByTable(table, 6e5, 3, 290)
    expect(airByTable(table, 6e5, 3, 290)).toBe(once)
    // The gas constant that balances the table grows with gravity.
    expect(airByTable(table, 6e5, 4, 290).state(1000).density / once.state(1000).density).toBeCloseTo(3 / 4, 9)
    expect(airByTable(table, 6e5, 4, 280).state(1000).soundSpeed).toBe(280)
    expect(airByTable({ ...table, density }, 6e5, 4, 280).state(altitude[2]!).density).toBeCloseTo(density[2]!, 12)
  })
})

test('numbers taken from a slab are filled, and never another’s', () => {
  const all = Array.from({ length: 400 }, (_, k) => takeNumbers(k % 37, k))
  expect(takeNumbers(5000, 7).every(value => value === 7)).toBe(true)
  all.forEach((numbers, k) => {
    expect([...numbers]).toEqual(new Array(k % 37).fill(k))
  })
  // Little ones share their memory: a flight's figures cost no allocation of their own.
  const [one, two] = [takeNumbers(3, 0), takeNumbers(3, 0)]
  expect(one.buffer).toBe(two.buffer)
})
