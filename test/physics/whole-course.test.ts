import { describe, expect, test } from 'vitest'
import { EARTH } from '../../solver/flight/air.ts'
import { WHOLE_COLUMNS, wholeHistory } from '../../solver/flight/whole/course.ts'
import { flyWholeAt } from '../../solver/flight/whole/fly.ts'
import { coastTo, orbitOf } from '../../solver/flight/whole/kepler.ts'
import type { WholePlan } from '../../solver/flight/whole/plan.ts'
import { H } from '../../solver/flight/whole/point.ts'
import { pchip } from '../../solver/model/curve.ts'
import { VOYAGES } from '../outside/voyages.ts'
import { heronPlan, planOf, randomPlan } from '../support/vehicles.ts'
import { flown, wholeOf } from '../support/whole.ts'

// Source: what the columns say of one another (kinematics), the figures of the same flight, and energy in an inverse-square field.

const COLUMNS = [
  'time',
  'altitude',
  'speed',
  'felt',
  'q',
  'mach',
  'mass',
  'thrust',
  'drag',
  'side',
  'downrange',
] as const
type Row = Readonly<Record<(typeof COLUMNS)[number], number>>

function course(plan: WholePlan) {
  const { flown: run, rows, events } = wholeHistory(plan)
  const told = Array.from(
    { length: rows.length / WHOLE_COLUMNS },
    (_, k) => Object.fromEntries(COLUMNS.map((name, c) => [name, rows[k * WHOLE_COLUMNS + c]!])) as Row,
  )
  return { outcome: run.outcome, rows: told, events }
}

const plans: readonly (readonly [string, WholePlan])[] = [
  ...VOYAGES.map(([name, plan]) => [name, plan] as const),
  ...Array.from({ length: 6 }, (_, k) => [`vehicle ${k}`, wholeOf(randomPlan(k))] as const),
]

test.each(plans)('the course of a flight %s holds together', (_, plan) => {
  const { outcome, rows, events } = course(plan)
  const it = flown(plan)
  expect(outcome).toBe(it.outcome)
  const last = rows.at(-1)!
  expect(rows[0]).toMatchObject({ time: 0, altitude: plan.launchAltitude, speed: 0, side: 0, downrange: 0 })
  rows.slice(1).forEach((row, k) => {
    const before = rows[k]!
    const step = row.time - before.time
    expect(step).toBeGreaterThan(0)
    expect(row.mass).toBeLessThanOrEqual(before.mass * (1 + 1e-12))
    // Downrange grows by the horizontal speed, seen from the ground.
    const ground = (each: Row): number => (each.side * plan.body.radius) / (plan.body.radius + each.altitude)
    const along = 0.5 * (ground(row) + ground(before)) * step
    const sideways = Math.abs(ground(row) - ground(before)) * step
    expect(Math.abs(row.downrange - before.downrange - along)).toBeLessThan(
      0.25 * sideways + 1e-5 * Math.abs(along) + 2e-3,
    )
    // Altitude changes by no more than the speed allows.
    const most = Math.max(row.speed, before.speed) * step
    expect(Math.abs(row.altitude - before.altitude)).toBeLessThan(most * 1.2 + 1e-3)
  })
  for (const { speed, side, q, drag, thrust, mach } of rows) {
    expect(Math.abs(side)).toBeLessThanOrEqual(speed * (1 + 1e-12))
    expect(Math.min(q, thrust) >= 0).toBe(true)
    expect(drag === 0 || q > 0).toBe(true)
    if (!Number.isNaN(mach)) expect(mach).toBeGreaterThanOrEqual(0)
  }
  expect(events.map(({ time }) => time)).toEqual(events.map(({ time }) => time).sort((a, b) => a - b))
  const event = (name: string) => events.find(each => each.name === name)
  expect(events[0]).toEqual({ name: 'ignition', part: 0, time: 0, altitude: plan.launchAltitude })
  const most = (of: (row: Row) => number): number => rows.reduce((so, row) => Math.max(so, of(row)), 0)
  if (outcome === 'never leaves the pad') return
  expect(most(row => row.speed)).toBeGreaterThan(it.at('max speed') * (1 - 1e-4))
  const top = rows.findIndex(({ altitude }) => altitude === most(row => row.altitude))
  expect(rows.slice(0, top + 1).reduce((so, row) => Math.max(so, row.q), 0)).toBeCloseTo(it.at('max q') || 0, -2)
  if (it.at('max q') > 0) {
    const peak = event('max q')!
    expect(peak.altitude).toBe(it.at('max q altitude'))
    // The moment is that of the largest q among the rows about it.
    const near = rows.filter(row => Math.abs(row.time - peak.time) < 0.02 * last.time + 1)
    expect(near.reduce((so, row) => Math.max(so, row.q), 0) / it.at('max q')).toBeCloseTo(1, 2)
  }
  if (outcome !== 'comes down') return
  expect([event('apoapsis')!.altitude, event('apoapsis')!.time]).toEqual([
    expect.closeTo(it.at('apoapsis'), 3),
    expect.closeTo(it.at('apoapsis time'), 4),
  ])
  expect([last.time, last.speed, last.downrange]).toEqual(
    (['flight time', 'touchdown speed', 'downrange'] as const).map(name => expect.closeTo(it.at(name), 4)),
  )
  expect(last.altitude).toBeCloseTo(plan.launchAltitude, 6)
  expect(event('touchdown')!.time).toBe(last.time)
  for (const { name, part, time } of events) {
    if (name === 'impact') expect(time).toBe(it.at('flight time', part))
    if (name === 'burnout') expect(rows.some(row => Math.abs(row.time - time) < 1e-9 * last.time)).toBe(true)
  }
})

test('a rocket that stays on the pad has its apoapsis there, at once', () => {
  const { events, rows, outcome } = course(wholeOf(planOf({ throttleCap: 0.05 }, EARTH, 300)))
  expect(outcome).toBe('never leaves the pad')
  expect(events.find(({ name }) => name === 'apoapsis')).toEqual({ name: 'apoapsis', part: 0, time: 0, altitude: 300 })
  expect(rows.every(({ altitude, speed }) => altitude === 300 && speed === 0)).toBe(true)
})

// Along a straight rail, over ground that is as good as flat, downrange is the altitude over the tangent of the elevation.
test('each row on the rail lies on it', () => {
  const world = { radius: 1e12, gravity: 5, air: null }
  const rail = { railElevation: 0.9, railLength: 3000 }
  const plan = wholeOf(planOf({}, world), { ...rail, shapes: [pchip([0, 1, 4, 20], [0.3, 1, 0.6, 0.5])] })
  const { rows, events } = course(plan)
  const off = events.find(({ name }) => name === 'rail end')!.time
  const along = rows.filter(({ time }) => time > 0 && time <= off)
  expect(along.length).toBeGreaterThan(5)
  for (const { altitude, downrange } of along)
    expect(Math.abs((downrange * Math.tan(0.9)) / altitude - 1)).toBeLessThan(1e-8)
})

describe('held on the rail', () => {
  const held = planOf({ throttleCap: 0.22 })
  const lean = { railElevation: 1.1, railLength: 8 }

  test('a rocket is let go when its thrust passes what of its weight lies along the rail', () => {
    const { events } = course(wholeOf(held, lean))
    const [thrust, flow] = [0.22 * 15400, (0.22 * 17500) / (242 * 9.80665)]
    const expected = (441 - thrust / (9.80665 * Math.sin(1.1))) / flow
    expect(expected).toBeGreaterThan(10)
    expect(events.find(({ name }) => name === 'liftoff')!.time).toBeCloseTo(expected, 6)
  })

  test('a course of its thrust that is over before it leaves changes nothing', () => {
    // Flat until 3 s, then upright: the hold lasts longer.
    const later = {
      knots: Float64Array.of(0, 3, 4, 900),
      coefficients: Float64Array.of(0.2, 0, 0, 0, 0.2, 1.2, 0, 0, 1.4, 0, 0, 0),
    }
    const always = { knots: Float64Array.of(0, 900), coefficients: Float64Array.of(1.4, 0, 0, 0) }
    const [one, two] = [later, always].map(pitch => flown(wholeOf(held, { ...lean, pitch })))
    for (const name of ['apoapsis', 'downrange', 'flight time', 'rail exit speed', 'touchdown speed'])
      expect(one!.at(name) / two!.at(name), name).toBeCloseTo(1, 6)
  })
})

test.each([
  ['that pushes off', 0.61, 2373],
  ['that is let go when thrust and weight are even', 0.22, 23730],
] as const)('the first step of a rocket %s is meant to climb 300 m', (_, throttleCap, exhaustSpeed) => {
  // Where there is no air a step is taken as it was meant.
  const plan = wholeOf(planOf({ throttleCap, exhaustSpeed }, { radius: 6e6, gravity: 9.8, air: null }))
  const climbs: number[] = []
  flyWholeAt(plan, [], 1e-4, 'to apoapsis', {
    step: (__, from, to) => {
      if (to.state[H]! > from.state[H]!) climbs.push(to.state[H]! - from.state[H]!)
    },
    event: () => {},
    coast: () => {},
  })
  expect(climbs[0]).toBeGreaterThan(270)
  expect(climbs[0]).toBeLessThan(360)
})

test('a long coast above all air has rows along it, of one energy', () => {
  const moon = { radius: 1737.4e3, gravity: 1.625, air: null }
  const { rows } = course(wholeOf({ ...heronPlan(0.4, 1), body: moon }))
  const mu = moon.gravity * moon.radius ** 2
  const coast = rows.filter(({ thrust, time }) => thrust === 0 && time > 0)
  expect(coast.length).toBeGreaterThan(100)
  const energy = ({ speed, altitude }: Row): number => 0.5 * speed ** 2 - mu / (moon.radius + altitude)
  for (const row of coast) expect(energy(row) / energy(coast[0]!)).toBeCloseTo(1, 8)
})

describe('a coast in closed form', () => {
  const mu = 4e14
  const starts = [
    [6.5e6, 3000, 2000],
    [6.5e6, 500, 7000],
    [7e6, 2000, 0],
    [6.4e6, 10, 40],
  ] as const
  test.each(starts)(
    'from %d m at %d m/s up and %d m/s across keeps energy and momentum, and takes the time it should',
    (r, u, w) => {
      const orbit = orbitOf(mu, r, u, w)
      const [energy, momentum] = [0.5 * (u * u + w * w) - mu / r, r * w]
      expect([orbit.energy, orbit.momentum]).toEqual([expect.closeTo(energy, 3), momentum])
      const far = 1 / orbit.farness.v
      // Vis-viva at both apsides.
      for (const at of [far, orbit.periapsis.v])
        if (at > 0) expect((energy + mu / at) / (0.5 * (momentum / at) ** 2 || 1)).toBeCloseTo(momentum > 0 ? 1 : 0, 6)
      const legs = Array.from({ length: 41 }, (_, k) =>
        coastTo(mu, r, u, w, r + (far - r) * (1 - (1 - k / 40) ** 2) * 0.999999, false),
      )
      legs.slice(1).forEach((leg, k) => {
        const before = legs[k]!
        expect(0.5 * (leg.up.v ** 2 + leg.side.v ** 2) - mu / leg.distance.v).toBeCloseTo(energy, 0)
        expect(leg.side.v * leg.distance.v).toBeCloseTo(momentum, 3)
        const step = leg.time.v - before.time.v
        expect((leg.distance.v - before.distance.v) / (0.5 * (leg.up.v + before.up.v) * step)).toBeCloseTo(1, 1)
      })
      // Down again to where it began: as long after the apoapsis as before it, as far about the centre.
      const [up, down] = [coastTo(mu, r, u, w, null, false), coastTo(mu, r, u, w, r, true)]
      expect(down.time.v / up.time.v).toBeCloseTo(2, 9)
      expect(down.angle.v).toBeCloseTo(2 * up.angle.v, 9)
      expect([down.up.v, down.side.v]).toEqual([expect.closeTo(-u, 6), expect.closeTo(w, 6)])
      expect([up.up.v, up.distance.v]).toEqual([0, expect.closeTo(far, 3)])
    },
  )
  test.each(starts.slice(0, 3))('from %d m at %d m/s up and %d m/s across has the slopes of differences', (r, u, w) => {
    const target = r + 0.3 * (1 / orbitOf(mu, r, u, w).farness.v - r)
    for (const [to, falling] of [
      [null, false],
      [target, false],
      [target, true],
    ] as const) {
      const at = (k: number, step: number) => {
        const moved = [r, u, w].map((value, i) => (i === k ? value + step : value)) as [number, number, number]
        return coastTo(mu, ...moved, to, falling)
      }
      const leg = at(0, 0)
      for (const k of [0, 1, 2] as const) {
        const step = k === 0 ? 1 : 1e-3
        const [more, less] = [at(k, step), at(k, -step)]
        for (const name of ['time', 'angle', 'distance', 'up', 'side'] as const) {
          if (w === 0 && k === 2 && name === 'angle') continue
          const expected = (more[name].v - less[name].v) / (2 * step)
          const scale = Math.max(Math.abs(expected), 1e-3 * Math.abs(leg[name].v / [r, 1000, 1000][k]!), 1e-12)
          expect(Math.abs(leg[name].d[k]! - expected) / scale, `${name} by ${k}`).toBeLessThan(1e-3)
        }
      }
    }
  })
})
