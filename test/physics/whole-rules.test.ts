import { describe, expect, test } from 'vitest'
import type { BodyNumbers } from '../../solver/flight/plan.ts'
import { WHOLE_COLUMNS, type WholeEvent, wholeHistory } from '../../solver/flight/whole/course.ts'
import type { Canopy, WholePlan } from '../../solver/flight/whole/plan.ts'
import { pchip } from '../../solver/model/curve.ts'
import { heronPlan, planOf } from '../support/vehicles.ts'
import { flown, stageLike, wholeOf } from '../support/whole.ts'

// Source: the contract's sentences about whole flights, and what they come to in closed form (the rocket equation, conservation of energy). An
// independent simulator written from the contract alone (SciPy's DOP853 at 1e-11, 260 invented sheets) found the places where they were not kept.

const heron = heronPlan(0.92, 0.61)
const stage = stageLike(heron.stages[0]!)
const payload = stage({ dryMass: 30, propellantMass: 0 })
const canopy = (numbers: Partial<Canopy>): Canopy => ({
  area: 5,
  altitude: 1500,
  fillTime: 0,
  safeQ: Number.POSITIVE_INFINITY,
  safeSpeed: Number.POSITIVE_INFINITY,
  ...numbers,
})

function course(plan: WholePlan) {
  const { rows, events, flown: run } = wholeHistory(plan)
  const told = Array.from({ length: rows.length / WHOLE_COLUMNS }, (_, k) => {
    const [time, altitude, speed, felt, q, , mass] = rows.subarray(k * WHOLE_COLUMNS, (k + 1) * WHOLE_COLUMNS)
    return { time: time!, altitude: altitude!, speed: speed!, felt: felt!, q: q!, mass: mass! }
  })
  const event = (name: string, part = 0): WholeEvent | undefined =>
    events.find(each => each.name === name && each.part === part)
  return { rows: told, event, outcome: run.outcome }
}

describe('a motor whose thrust falls evenly to nothing, without air, in a field that does not weaken', () => {
  const [load, full, exhaustSpeed, end, gravity] = [80, 100, 2000, 20, 9]
  const thrust = (2 * load * exhaustSpeed) / end
  const plan = wholeOf(
    planOf(
      {
        dryMass: full - load,
        propellantMass: load,
        vacuumThrust: thrust,
        seaLevelThrust: thrust,
        exhaustSpeed,
        throttleCap: 1,
      },
      { radius: 1e13, gravity, air: null },
    ),
    { shapes: [pchip([0, end], [1, 0])] },
  )
  const it = flown(plan, 1e-10)
  const force = (t: number): number => thrust * (1 - t / end)
  const mass = (t: number): number => full - (thrust / exhaustSpeed) * (t - (t * t) / (2 * end))
  const speed = (t: number): number => exhaustSpeed * Math.log(full / mass(t)) - gravity * t
  /** The moment at which something falls through 0. */
  const through = (of: (t: number) => number): number => {
    let [low, high] = [0, end]
    for (let k = 0; k < 80; k++) {
      const middle = (low + high) / 2
      if (of(middle) > 0) low = middle
      else high = middle
    }
    return low
  }

  test('is fastest when thrust has fallen to its weight', () => {
    const top = through(t => force(t) - mass(t) * gravity)
    expect(top).toBeGreaterThan(0.9 * end)
    expect(Math.abs(it.at('max speed') / speed(top) - 1)).toBeLessThan(1e-8)
  })
  test('is felt most when its mass falls as fast as its thrust', () => {
    const most = through(t => force(t) ** 2 / exhaustSpeed - (thrust / end) * mass(t))
    expect(most).toBeGreaterThan(0.1 * end)
    expect(Math.abs((it.at('peak g') * mass(most)) / force(most) - 1)).toBeLessThan(1e-8)
  })
  test('has in each row the mass and the speed of that moment', () => {
    const rows = course(plan).rows.filter(({ time }) => time > 0 && time < end)
    expect(rows.length).toBeGreaterThan(5)
    for (const row of rows) {
      expect(Math.abs(row.mass / mass(row.time) - 1)).toBeLessThan(1e-9)
      expect(Math.abs(row.speed - speed(row.time))).toBeLessThan(1e-6 * speed(end))
    }
  })
})

// "Straight up, thrust and drag lie along the velocity: a stage that fires while falling drives the rocket down"; the window lasts to the last burnout.
test('max q stands in the course where it is, also on the way down', () => {
  const second = stage({ dryMass: 60, propellantMass: 60, ignitionDelay: 25 })
  const plan = wholeOf(heron, { stages: [stage({ propellantMass: 40, throttleCap: 0.35 }), second] })
  const { rows, event } = course(plan)
  const peak = event('max q')!
  expect(peak.time).toBeGreaterThan(event('apoapsis')!.time)
  expect(peak.altitude).toBe(flown(plan).at('max q altitude'))
  const near = rows.reduce((so, row) => (Math.abs(row.time - peak.time) < Math.abs(so.time - peak.time) ? row : so))
  expect(near.q / flown(plan).at('max q')).toBeCloseTo(1, 4)
})

// "Parachutes may open once the highest point is passed and all burns are over."
describe('parachutes wait for burns', () => {
  test('and none opens where the ground is met while one lasts', () => {
    const second = stage({ dryMass: 60, propellantMass: 200, ignitionDelay: 45 })
    const plan = wholeOf(heron, { stages: [stage({ propellantMass: 40 }), second], canopies: [canopy({})] })
    const { event, outcome } = course(plan)
    expect(event('burnout', 1)).toBeUndefined()
    expect(event('opening')).toBeUndefined()
    expect(outcome).toBe('hits the ground before opening')
    expect(flown(plan).at('opening speed', 0, 'canopy')).toBeNaN()
  })
})

describe('a drop that is still to come', () => {
  const at = (separationDelay: number, canopies: readonly Canopy[] = []): WholePlan =>
    wholeOf(heron, { stages: [stage({ propellantMass: 300, throttleCap: 0.5, separationDelay }), payload], canopies })

  test('keeps no parachute from opening', () => {
    const plan = at(600, [canopy({ altitude: 9000, area: 40 })])
    const { event, outcome, rows } = course(plan)
    expect(outcome).toBe('comes down')
    expect(event('opening')!.altitude).toBeCloseTo(9000, 6)
    expect(event('opening')!.time).toBeLessThan(event('drop')!.time)
    expect(event('drop')!.time).toBeCloseTo(flown(plan).at('burn time') + 600, 9)
    expect(rows.at(-1)!.mass).toBe(30)
  })
  // Peaks of the way up are sought "to the later of apoapsis and last burnout".
  test('does not put off the end of the way up', () => {
    const [early, late] = [flown(at(0)), flown(at(2000))]
    expect(late.at('entry q')).toBeGreaterThan(2 * late.at('max q'))
    const rows = course(at(2000)).rows.filter(({ time }) => time <= late.at('apoapsis time'))
    const most = (of: 'felt' | 'q'): number => rows.reduce((so, row) => Math.max(so, row[of]), 0)
    expect(late.at('peak g') / most('felt')).toBeCloseTo(1, 6)
    expect(late.at('max q') / most('q')).toBeCloseTo(1, 6)
    expect(late.at('max q')).toBe(early.at('max q'))
  })
})

// "An empty stage below a powered one drops at that one's ignition."
test('all empty stages below a powered one are dropped at its ignition, each to a fall of its own', () => {
  const moon: BodyNumbers = { radius: 1737.4e3, gravity: 1.625, air: null }
  const ring = (dryMass: number) => stage({ dryMass, propellantMass: 0 })
  const upper = stage({ dryMass: 50, propellantMass: 40, ignitionDelay: 5 })
  const plan = wholeOf(
    { ...heron, body: moon },
    { stages: [stage({ propellantMass: 30, separationDelay: 2 }), ring(4), ring(6), upper] },
  )
  const it = flown(plan)
  const { event, rows } = course(plan)
  const lit = event('ignition', 3)!
  const mu = moon.gravity * moon.radius ** 2
  const then = rows.find(({ time }) => Math.abs(time - lit.time) < 1e-9 * lit.time)!
  for (const part of [1, 2]) {
    expect(event('drop', part)).toMatchObject({ time: lit.time, altitude: lit.altitude })
    const fall = Math.sqrt(then.speed ** 2 + 2 * mu * (1 / moon.radius - 1 / (moon.radius + then.altitude)))
    expect(it.at('touchdown speed', part) / fall).toBeCloseTo(1, 8)
    expect(event('impact', part)!.time).toBe(it.at('flight time', part))
  }
})

// The same of those on the pad: the first motor is lit at time 0, and what lies under it stays there.
test('empty stages below the first motor are left on the pad, which its delay does not put off', () => {
  const [ring, upper] = [stage({ dryMass: 9, propellantMass: 0 }), stage({ dryMass: 50, propellantMass: 40 })]
  const alone = flown(wholeOf(heron, { stages: [upper] }))
  const plan = wholeOf(heron, { stages: [ring, ring, { ...upper, ignitionDelay: 7 }] })
  const it = flown(plan)
  for (const name of ['apoapsis', 'apoapsis time', 'peak g', 'flight time'] as const)
    expect(it.at(name)).toBe(alone.at(name))
  const { event } = course(plan)
  for (const part of [0, 1]) {
    expect(event('drop', part)).toMatchObject({ time: 0, altitude: heron.launchAltitude })
    expect(event('impact', part)).toBeUndefined()
    for (const name of ['downrange', 'flight time', 'touchdown speed'] as const) expect(it.at(name, part)).toBe(0)
  }
  const heavy = flown(wholeOf(heron, { stages: [ring, { ...upper, dryMass: 1e5 }] }))
  expect(heavy.outcome).toBe('never leaves the pad')
  expect(heavy.at('downrange', 0)).toBeNaN()
})
