import { describe, expect, test } from 'vitest'
import { EARTH, FLOWN, type FlownName, HISTORY, history, type Plan, spaceBoundary } from '../../solver/flight/index.ts'
import { riseTo, riseToApoapsis } from '../../solver/flight/orbit.ts'
import { warmDay } from '../../solver/flight/warm-day.ts'
import { MOON } from '../../solver/flight/worlds.ts'
import { heronPlan, planOf, randomPlan } from '../support/vehicles.ts'

// Source: the definitions of the columns (DEVELOPERS.md, "The flight"), mechanics, and energy in an inverse-square field.

type Column = (typeof HISTORY)[number]['name']
type Row = Readonly<Record<Column, number>>

function course(plan: Plan, space?: number | null) {
  const { flown, rows, events } = space === undefined ? history(plan) : history(plan, space)
  const width = HISTORY.length
  const told = Array.from({ length: rows.length / width }, (_, k) =>
    Object.fromEntries(HISTORY.map(({ name }, c) => [name, rows[k * width + c]!])),
  ) as Row[]
  const figure = (name: FlownName): number => flown.figures[FLOWN.indexOf(name)]!
  return { outcome: flown.outcome, figure, rows: told, events }
}

const plans: readonly (readonly [string, Plan])[] = [
  ['the Heron', heronPlan(0.92, 0.61)],
  ['the Heron held on the pad', planOf({ throttleCap: 0.22 })],
  ['the Heron off the Moon', planOf({ propellantMass: 90 }, MOON)],
  ...Array.from({ length: 12 }, (_, k) => [`vehicle ${k}`, randomPlan(k)] as const),
]

describe('the course of a flight', () => {
  test.each(plans)('of %s holds together', (_, plan) => {
    const { outcome, figure, rows, events } = course(plan)
    const [first, last] = [rows[0]!, rows.at(-1)!]
    const duration = last.time
    expect([first.time, first.altitude, first.speed]).toEqual([0, plan.launchAltitude, 0])
    rows.slice(1).forEach((row, k) => {
      const before = rows[k]!
      const step = row.time - before.time
      expect(step).toBeGreaterThan(0)
      expect(step).toBeLessThanOrEqual(0.01 * duration * (1 + 1e-9))
      // Altitude rises by the mean speed, mass never rises.
      const climbed = row.altitude - before.altitude
      const rough = 0.5 * (row.speed + before.speed) * step
      expect(Math.abs(climbed - rough)).toBeLessThan(
        2e-3 * Math.abs(rough) + 0.2 * Math.abs(row.speed - before.speed) * step + 1e-6,
      )
      expect(row.mass).toBeLessThanOrEqual(before.mass)
    })
    for (const row of rows) {
      const { mass, thrust, drag } = row
      if (row.speed > 0)
        expect(row['felt acceleration'] * mass).toBeCloseTo(
          Math.abs(thrust - drag),
          4 - Math.ceil(Math.log10(thrust + drag + 1)),
        )
      if (row.mach > 0.01) expect(row['dynamic pressure']).toBeGreaterThan(0)
      expect(drag).toBeGreaterThanOrEqual(0)
      expect(row['felt acceleration']).toBeLessThanOrEqual(figure('peak g') * (1 + 1e-9))
      expect(row.speed).toBeLessThanOrEqual(figure('max speed') * (1 + 1e-9))
      expect(row['dynamic pressure']).toBeLessThanOrEqual(figure('max q') * (1 + 1e-9))
    }
    expect(events.map(({ time }) => time)).toEqual(events.map(({ time }) => time).sort((a, b) => a - b))
    const event = (name: string) => events.find(each => each.name === name)
    expect(last.mass).toBeCloseTo(plan.stages[0]!.dryMass, 9)
    if (outcome === 'never leaves the pad') return
    // Each event stands among the rows, with the figure it belongs to.
    for (const { name, time, altitude } of events) {
      const row = rows.find(each => Math.abs(each.time - time) <= 1e-9 * duration)
      expect(row, name).toBeDefined()
      expect(Math.abs(row!.altitude - altitude)).toBeLessThan(1e-3 + 1e-6 * Math.abs(altitude))
    }
    const burnout = rows.find(each => each.time === event('burnout')!.time)!
    expect([burnout.speed, burnout.altitude]).toEqual([
      expect.closeTo(figure('burnout speed'), 6),
      expect.closeTo(figure('burnout altitude'), 5),
    ])
    expect(burnout.thrust).toBeGreaterThan(0)
    expect(rows.find(each => each.time > burnout.time)!.thrust).toBe(0)
    if (figure('max q') > 0) {
      expect(event('max q')!.altitude).toBeCloseTo(figure('max q altitude'), 3)
      const q = Math.max(...rows.map(row => row['dynamic pressure']))
      expect(q / figure('max q')).toBeCloseTo(1, 6)
    }
    if (outcome === 'comes down') {
      expect([event('apoapsis')!.altitude, event('apoapsis')!.time]).toEqual([
        expect.closeTo(figure('apoapsis'), 4),
        expect.closeTo(figure('apoapsis time'), 5),
      ])
      expect(last.speed).toBeCloseTo(0, 6)
    } else {
      expect(event('apoapsis')).toBeUndefined()
      expect(last.altitude).toBeGreaterThan(plan.body.radius)
    }
    const space = spaceBoundary(plan.body)
    const passes =
      space !== null && plan.launchAltitude < space && (outcome === 'escapes' || figure('apoapsis') > space)
    expect(event('space')?.altitude ?? null).toBe(passes ? space : null)
  })

  test('of a rocket that stays on the pad is told until its propellant is spent', () => {
    const { rows, events, figure } = course(planOf({ throttleCap: 0.05 }, EARTH, 200))
    const burn = 276 / ((0.05 * 17500) / (242 * 9.80665))
    expect(events).toEqual([
      { name: 'ignition', time: 0, altitude: 200 },
      { name: 'apoapsis', time: 0, altitude: 200 },
      { name: 'burnout', time: expect.closeTo(burn, 9), altitude: 200 },
    ])
    expect(rows).toHaveLength(101)
    for (const [k, row] of rows.entries()) {
      expect(row).toMatchObject({ altitude: 200, speed: 0, drag: 0, mach: 0, 'dynamic pressure': 0 })
      expect([row.time, row.mass]).toEqual([expect.closeTo((k * burn) / 100, 9), expect.closeTo(441 - 2.76 * k, 9)])
      expect(row['felt acceleration']).toBe(figure('peak g'))
      expect(row.thrust > 0).toBe(k < 100)
    }
    const empty = course(planOf({ propellantMass: 0 }, MOON, 7))
    expect(empty.events).toEqual([{ name: 'apoapsis', time: 0, altitude: 7 }])
    expect(empty.rows).toMatchObject([{ time: 0, altitude: 7, mass: 165, thrust: 0, mach: Number.NaN }])
  })

  test('passes space where it is told to, below the end of the air or above it', () => {
    for (const space of [20000, 95000]) {
      const { events, rows } = course(heronPlan(0.92, 0.61), space)
      const { time } = events.find(({ name }) => name === 'space')!
      expect(rows.find(row => Math.abs(row.time - time) < 1e-9)!.altitude).toBeCloseTo(space, 3)
    }
    expect(course(heronPlan(0.92, 0.61), null).events.some(({ name }) => name === 'space')).toBe(false)
    const high = course(planOf({ propellantMass: 140 }, { ...MOON, radius: 4e5 }), 50000)
    expect(high.events.find(({ name }) => name === 'space')!.altitude).toBe(50000)
    expect([EARTH, MOON, { ...EARTH, air: warmDay(5) }].map(spaceBoundary)).toEqual([1e5, null, 1e5])
  })
})

describe('a coast in an inverse-square field', () => {
  const [mu, r, v] = [4e14, 6.4e6, 3000]
  const energy = ({ distance, speed }: { distance: number; speed: number }): number => 0.5 * speed ** 2 - mu / distance

  test('to its apoapsis keeps its energy and its spacing, and stands at the distances wanted', () => {
    const points = riseToApoapsis(mu, r, v, 5, [6.6e6, 6e6, 9e6])
    expect(points[0]).toEqual({
      time: expect.closeTo(0, 6),
      distance: expect.closeTo(r, 3),
      speed: expect.closeTo(v, 6),
    })
    expect(points.at(-1)!.speed).toBe(0)
    for (const point of points) expect(energy(point) / energy({ distance: r, speed: v })).toBeCloseTo(1, 10)
    expect(points.filter(({ distance }) => Math.abs(distance - 6.6e6) < 1e-3)).toHaveLength(1)
    points.slice(1).forEach((point, k) => {
      const before = points[k]!
      const step = point.time - before.time
      expect(step).toBeGreaterThan(0)
      expect(step).toBeLessThanOrEqual(5 * 1.0001)
      // Pull slows it: speed falls by that at the mean distance.
      const pull = mu / (0.5 * (point.distance + before.distance)) ** 2
      expect((before.speed - point.speed) / (pull * step)).toBeCloseTo(1, 4)
    })
  })

  test('away for good does likewise', () => {
    const fast = 12000
    const points = riseTo(mu, r, fast, 2 * r, 100, [8e6, 5e6, 2e7])
    expect(points).toHaveLength(102)
    expect([points[0]!.time, points[0]!.distance, points.at(-1)!.distance]).toEqual([0, r, expect.closeTo(2 * r, 3)])
    points.slice(1).forEach((point, k) => {
      const before = points[k]!
      expect(energy(point) / energy({ distance: r, speed: fast })).toBeCloseTo(1, 9)
      const pull = mu / (point.distance * before.distance)
      expect((before.speed - point.speed) / (pull * (point.time - before.time))).toBeCloseTo(1, 3)
    })
    expect(points.some(({ distance }) => distance === 8e6)).toBe(true)
  })
})
