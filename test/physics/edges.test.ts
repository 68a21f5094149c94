import { describe, expect, test } from 'vitest'
import {
  EARTH,
  FLOWN,
  type FlownName,
  fly,
  leavesPad,
  type Plan,
  type StageNumbers,
} from '../../solver/flight/index.ts'
import { geometric } from '../../solver/flight/us76.ts'
import { flyWhole } from '../../solver/flight/whole/fly.ts'
import { pchip } from '../../solver/model/curve.ts'
import type { Curve } from '../../solver/model/expr.ts'
import { expectAlike } from '../support/flights-alike.ts'
import { dragTable, planOf, sequence } from '../support/vehicles.ts'
import { wholeOf } from '../support/whole.ts'

const figure = (plan: Plan, name: FlownName): number => fly(plan, [], 'tight').figures[FLOWN.indexOf(name)]!

/** The plan of a family at which a figure that rises (or falls) with its number takes a value, by halving. */
function planWhere(make: (x: number) => Plan, name: FlownName, value: number, low: number, high: number): Plan {
  const rises = figure(make(high), name) > figure(make(low), name)
  let [from, to] = [low, high]
  for (let i = 0; i < 60; i++) {
    const middle = 0.5 * (from + to)
    if (figure(make(middle), name) < value === rises) from = middle
    else to = middle
  }
  return make(0.5 * (from + to))
}

const byLoad = (propellantMass: number): Plan => planOf({ propellantMass })
const TROPOPAUSE = geometric(11000)

// Reference for all of these: odex over equations written a second time (support/reference-flight.ts).
describe('a flight whose events fall together', () => {
  test('has its max q pinned at the edge of a layer', () => {
    const plan = planOf({ throttleCap: 0.3 })
    expect(figure(plan, 'max q altitude')).toBeCloseTo(11019.0678, 4)
    expectAlike(plan)
  })

  test('has it there in a loose flight as well, which does not stop at the edge', () => {
    for (const throttleCap of [0.28, 0.29, 0.3, 0.31, 0.32]) {
      const plan = planOf({ throttleCap })
      const loosely = fly(plan, [], 'loose').figures[FLOWN.indexOf('max q altitude')]!
      expect(Math.abs(loosely / figure(plan, 'max q altitude') - 1)).toBeLessThan(0.005)
    }
  })

  test.each([TROPOPAUSE, geometric(20000), geometric(47000)])('starts exactly on the edge at %f m', edge => {
    expectAlike(planOf({}, EARTH, edge))
  })

  test.each([-1, -1e-6, 0, 1e-6, 1])('burns out %f m from the edge of a layer', off => {
    const plan = planWhere(byLoad, 'burnout altitude', geometric(20000) + off, 100, 276)
    expect(Math.abs(figure(plan, 'burnout altitude') - geometric(20000) - off)).toBeLessThan(1e-6)
    expectAlike(plan)
  })

  test.each([-1, -1e-6, 1e-6, 1])('tops out %f m from the end of the layers at 86 km', off => {
    const plan = planWhere(byLoad, 'apoapsis', 86000 + off, 100, 276)
    expectAlike(plan)
  })

  test.each([-1, -1e-6, 1e-6, 1])('tops out %f m from the end of an exponential atmosphere', off => {
    const world = {
      radius: 6e5,
      gravity: 9.8,
      air: {
        kind: 'exponential',
        pressure: 101325,
        density: 1.2,
        scaleHeight: 5600,
        soundSpeed: 320,
        top: 40000,
      },
    } as const
    expectAlike(planWhere(load => planOf({ propellantMass: load }, world), 'apoapsis', 40000 + off, 100, 276))
  })

  test.each([-1e-9, 0, 1e-9])('burns out %f from a knot of its drag table', off => {
    const steep = pchip([0, 0.8, 1.1, 2.5, 4], [0.3, 0.32, 0.6, 0.45, 0.3])
    const make = (propellantMass: number): Plan => planOf({ propellantMass, drag: steep })
    const plan = planWhere(make, 'max mach', 2.5 + off, 100, 276)
    expect(Math.abs(figure(plan, 'max mach') - 2.5)).toBeLessThan(1e-8)
    expectAlike(plan)
  })

  test('goes beyond the last knot and below the first', () => {
    const narrow = pchip([0.9, 1.3, 1.6], [0.3, 0.7, 0.5])
    const plan = planOf({ drag: narrow })
    expect(figure(plan, 'max mach')).toBeGreaterThan(3)
    expectAlike(plan)
  })
})

describe('a rocket held on the pad', () => {
  const seconds = (hold: number): Plan => {
    // At the cap of 30 % the Heron's flow is known; its thrust is made to carry what is left after the hold.
    const flow = (0.3 * 17500) / (242 * 9.80665)
    const share = ((441 - flow * hold) * 9.80665) / (0.3 * 15400)
    return planOf({ throttleCap: 0.3, vacuumThrust: 17500, seaLevelThrust: 15400 * share, exhaustSpeed: 242 * 9.80665 })
  }

  test.each([1, 60, 110])('for %i s flies as the reference does', hold => {
    const plan = seconds(hold)
    expect(leavesPad(plan)).toBe(true)
    expectAlike(plan)
  })

  test('that never lifts stays: its altitude the launch altitude, no speed, no loss, the local gravity felt', () => {
    const plan = planOf({ throttleCap: 0.1 }, EARTH, 1500)
    const { outcome, figures } = fly(plan, [], 'tight')
    const value = (name: FlownName): number => figures[FLOWN.indexOf(name)]!
    expect(outcome).toBe('never leaves the pad')
    expect(leavesPad(plan)).toBe(false)
    for (const name of ['apoapsis', 'burnout altitude', 'max q altitude'] as const) expect(value(name)).toBe(1500)
    for (const name of [
      'apoapsis time',
      'max speed',
      'burnout speed',
      'max q',
      'max mach',
      'drag loss',
      'gravity loss',
    ] as const)
      expect(value(name), name).toBe(0)
    expect(value('peak g')).toBeCloseTo(9.80665 * (6356766 / 6358266) ** 2, 12)
    expect(value('peak g coasting')).toBeNaN()
    const thrust = value('burnout ratio') * 165 * 9.80665
    expect(thrust).toBeGreaterThan(1540)
    expect(thrust).toBeLessThan(1750)
    // Lower than the pad by 20 km for each unit of thrust over weight that is lacking.
    expect(value('apoapsis energy')).toBeLessThan(1499)
  })
})

describe('an escape', () => {
  const rock = { radius: 2e5, gravity: 0.5, air: null }
  const make = (propellantMass: number): Plan => planOf({ propellantMass }, rock)
  // Energy: with geopotential height R − R²/r the escape lies at R.
  const just = planWhere(make, 'apoapsis energy', 2e5, 1, 300)
  const load = just.stages[0]!.propellantMass

  test.each([
    [-1e-9, 'comes down'],
    [1e-9, 'escapes'],
  ] as const)('by a hair: %f kg from just enough it %s', (off, outcome) => {
    const { outcome: found, figures } = fly(make(load + off), [], 'tight')
    expect(found).toBe(outcome)
    const value = (name: FlownName): number => figures[FLOWN.indexOf(name)]!
    if (outcome === 'escapes') {
      expect(value('apoapsis')).toBe(Number.POSITIVE_INFINITY)
      expect(value('apoapsis time')).toBe(Number.POSITIVE_INFINITY)
      expect(value('apoapsis energy')).toBeGreaterThan(2e5)
    } else {
      expect(value('apoapsis')).toBeGreaterThan(1e9)
      expect(value('apoapsis energy')).toBeLessThan(2e5)
    }
  })

  test('has an energy that runs on smoothly through it', () => {
    const energies = [-2, -1, 0, 1, 2].map(k => figure(make(load + k * 1e-3), 'apoapsis energy'))
    const steps = energies.slice(1).map((energy, k) => energy - energies[k]!)
    for (const step of steps) expect(step / steps[0]!).toBeCloseTo(1, 3)
  })
})

describe('drag curves that are not tables', () => {
  /** A smooth coefficient cut into many pieces whose knots are no real ones, as the network cuts an expression. */
  const smooth = (pieces: number): Curve => {
    const mach = Array.from({ length: pieces + 1 }, (_, k) => (6 * k) / pieces)
    const c = (m: number): number => 0.3 + 0.25 / (1 + 8 * (m - 1.1) ** 2)
    const slope = (m: number): number => (-0.25 * 16 * (m - 1.1)) / (1 + 8 * (m - 1.1) ** 2) ** 2
    const width = 6 / pieces
    const coefficients = new Float64Array(4 * pieces)
    for (let k = 0; k < pieces; k++) {
      const [m0, m1] = [mach[k]!, mach[k + 1]!]
      const chord = (c(m1) - c(m0)) / width
      coefficients.set(
        [
          c(m0),
          slope(m0),
          (3 * chord - 2 * slope(m0) - slope(m1)) / width,
          (slope(m0) + slope(m1) - 2 * chord) / width ** 2,
        ],
        4 * k,
      )
    }
    return { knots: Float64Array.from(mach), coefficients }
  }

  test('fly the same with and without restarts at knots that only divide a smooth stretch', () => {
    const drag = smooth(240)
    const plan = planOf({ drag })
    const free = { ...plan, restarts: new Uint8Array(drag.knots.length) }
    const [restarted, smoothly] = [fly(plan, [], 'tight'), fly(free, [], 'tight')]
    for (const [k, name] of FLOWN.entries())
      expect(
        Math.abs(smoothly.figures[k]! - restarted.figures[k]!) / Math.max(1, restarted.figures[k]!),
        name,
      ).toBeLessThan(1e-7)
    expect(smoothly.evaluations).toBeLessThan(restarted.evaluations / 3)
  })

  test('may jump: a step within a billionth of mach between two real knots is passed over', () => {
    const jump: Curve = {
      knots: Float64Array.of(0, 1, 1 + 1e-9, 5),
      coefficients: Float64Array.of(0.3, 0, 0, 0, 0.3, 0.3 / 1e-9, 0, 0, 0.6, 0, 0, 0),
    }
    const plan = planOf({ drag: jump })
    const sharp = planOf({
      drag: { knots: Float64Array.of(0, 1, 5), coefficients: Float64Array.of(0.3, 0, 0, 0, 0.6, 0, 0, 0) },
    })
    const [one, two] = [fly(plan, [], 'tight'), fly(sharp, [], 'tight')]
    for (const [k, name] of FLOWN.entries())
      expect(Math.abs(one.figures[k]! - two.figures[k]!) / Math.max(1, two.figures[k]!), name).toBeLessThan(1e-6)
    expectAlike(sharp)
  })
})

describe('a drag coefficient that jumps', () => {
  // Where drag beyond the jump holds the rocket at its mach the flight has no meaning: neither happens here.
  test.each(Array.from({ length: 24 }, (_, k) => k))('has the peaks of the reference, on either side of it: %i', k => {
    const next = sequence(k + 40)
    const [below, above] = [0.05 + 0.85 * next(), 0.05 + 0.85 * next()]
    const drag: Curve = {
      knots: Float64Array.of(0, 0.5 + 1.2 * next(), 9),
      coefficients: Float64Array.of(below, 0, 0, 0, above, 0, 0, 0),
    }
    expectAlike(planOf({ drag, dryMass: 200 + 300 * next(), propellantMass: 20 + 100 * next() }))
  })
})

describe('a drag coefficient that jumps so far that it holds the rocket at its mach number', () => {
  const jump = (below: number, above: number): Curve => ({
    knots: Float64Array.of(0, 1, 9),
    coefficients: Float64Array.of(below, 0, 0, 0, above, 0, 0, 0),
  })
  const held = planOf({ drag: jump(0.1, 0.9), referenceArea: 0.3 })

  // At mach 1 thrust lifts more than weight and drag below the jump, and less than weight and drag above it: steps through it would go to and fro.
  test('is not flown, and no figure is told', () => {
    const { outcome, figures } = fly(held, [], 'tight')
    expect(outcome).toBe('could not be flown')
    expect([...figures].every(Number.isNaN)).toBe(true)
  })

  test('is not flown by the general flight either, nor where a fall is held', () => {
    expect(flyWhole(wholeOf(held), [], 'tight', 'to apoapsis').outcome).toBe('could not be flown')
    // Weight drives it faster than mach 1 below the jump, and not above it.
    const fall = planOf({ drag: jump(0.05, 9), referenceArea: 0.02, propellantMass: 290 })
    expect(flyWhole(wholeOf(fall), [], 'tight', 'to the ground').outcome).toBe('could not be flown')
  })

  test('is told from one that only slows the rocket', () => {
    expect(fly(planOf({ drag: jump(0.1, 0.2), referenceArea: 0.3 }), [], 'tight').outcome).toBe('comes down')
  })
})

describe('a change that changes nothing', () => {
  const base = planOf({ drag: dragTable(sequence(11)) })

  test.each<[string, Partial<StageNumbers>]>([
    ['thrust halved under a doubled cap', { throttleCap: 1.22, vacuumThrust: 8750, seaLevelThrust: 7700 }],
    ['area doubled under a halved coefficient', { referenceArea: 0.25, drag: halved(base.stages[0]!.drag) }],
  ])('%s leaves every figure', (_, change) => {
    const [one, two] = [fly(base, [], 'tight'), fly(planOf({ ...base.stages[0]!, ...change }), [], 'tight')]
    for (const [k, name] of FLOWN.entries())
      expect(Math.abs(one.figures[k]! - two.figures[k]!), name).toBeLessThan(1e-8 * Math.max(1, one.figures[k]!))
  })

  test('dead propellant on the pad leaves the flight the same to the last bit', () => {
    const light = fly(planOf({ throttleCap: 0.2 }), [], 'tight')
    const heavy = fly(planOf({ throttleCap: 0.2, propellantMass: 296 }), [], 'tight')
    for (const name of ['apoapsis', 'burnout speed', 'burnout altitude', 'max q', 'peak g', 'drag loss'] as const)
      expect(heavy.figures[FLOWN.indexOf(name)]).toBe(light.figures[FLOWN.indexOf(name)])
  })

  test('a flight flown between two others is the same to the last bit', () => {
    const first = [...fly(base, [], 'tight').figures]
    fly(planOf({}, { radius: 3e5, gravity: 2, air: null }), [], 'loose')
    fly(planOf({ throttleCap: 0.2 }), [], 'medium')
    expect([...fly(base, [], 'tight').figures]).toEqual(first)
  })
})

function halved(curve: Curve): Curve {
  return { knots: curve.knots, coefficients: curve.coefficients.map(c => c / 2) }
}
