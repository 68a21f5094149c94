import { describe, expect, test } from 'vitest'
import { flyThrough } from '../../solver/flight/fly.ts'
import { EARTH, FLOWN, type FlownName, fly, leavesPad, type Plan } from '../../solver/flight/index.ts'
import { buildProfile } from '../../solver/flight/profile.ts'
import { constantCurve } from '../../solver/model/curve.ts'
import { ASCENTS, HERON_BY_SCIPY } from '../outside/ascents.ts'
import { expectAlike } from '../support/flights-alike.ts'
import { directionOf, heronPlan, planOf, randomPlan } from '../support/vehicles.ts'

const at = (name: FlownName): number => FLOWN.indexOf(name)

describe('the Heron flight', () => {
  const { figures } = fly(heronPlan(0.92, 0.61), [], 'tight')

  test.each(HERON_BY_SCIPY)('has a %s of %f', (name, value, within) => {
    expect(Math.abs(figures[at(name)]! - value)).toBeLessThan(within)
  })

  test('with no air above 86 km tops out at 100,092.138 m, and at 93 % and 55 % at 100,442.098 m', () => {
    const cut = buildProfile(86000)
    const apoapsis = (load: number, cap: number): number =>
      flyThrough(cut, heronPlan(load, cap), [], 1e-9, null).figures[at('apoapsis')]!
    expect(Math.abs(apoapsis(0.92, 0.61) - 100092.138)).toBeLessThan(2e-3)
    expect(Math.abs(apoapsis(0.93, 0.55) - 100442.098)).toBeLessThan(2e-3)
  })

  test('adds its losses and its burnout speed up to the ideal', () => {
    const sum =
      figures[at('burnout speed')]! +
      figures[at('gravity loss')]! +
      figures[at('drag loss')]! +
      figures[at('back pressure loss')]!
    expect(sum).toBeCloseTo(242 * 9.80665 * Math.log(441 / 165), 9)
  })

  test('comes nearer to itself as the tolerance falls', () => {
    const truth = flyThrough(null, heronPlan(0.92, 0.61), [], 1e-12, null).figures
    const errors = [1e-6, 1e-7, 1e-8, 1e-9, 1e-10].map(tolerance => {
      const found = flyThrough(null, heronPlan(0.92, 0.61), [], tolerance, null).figures
      return Math.max(
        ...(['apoapsis', 'burnout speed', 'max q', 'drag loss'] as const).map(name =>
          Math.abs(found[at(name)]! / truth[at(name)]! - 1),
        ),
      )
    })
    for (const [k, error] of errors.entries()) expect(error).toBeLessThan(30 * [1e-6, 1e-7, 1e-8, 1e-9, 1e-10][k]!)
    expect(errors[4]!).toBeLessThan(errors[0]! / 100)
  })
})

// Reference: odex, a general-purpose extrapolation integrator (after Hairer & Wanner), over equations written a second time.
describe('an independent integration agrees with every figure', () => {
  test.each(ASCENTS)('%s', (_, plan) => expectAlike(plan))

  test.each(Array.from({ length: 16 }, (_, k) => k))('of invented vehicle %i', k => {
    const plan = randomPlan(k)
    if (leavesPad(plan)) expectAlike(plan)
    else expect(fly(plan, [], 'tight').outcome).toBe('never leaves the pad')
  })
})

describe('derivatives carried with the flight', () => {
  const base = heronPlan(0.92, 0.61)
  const rates = [
    ['throttle cap', { throttleCap: 1 }, 0],
    ['propellant', { propellantMass: 300 }, 0],
    ['dry mass', { dryMass: 165 }, 0],
    ['vacuum thrust', { vacuumThrust: 17500 }, 0],
    ['sea level thrust', { seaLevelThrust: 15400 }, 0],
    ['exhaust speed', { exhaustSpeed: 2373 }, 0],
    ['reference area', { referenceArea: 0.125 }, 0],
    ['launch altitude', {}, 10000],
  ] as const

  test.each(rates)('by the %s agree with differences of tight flights', (_, by, altitude) => {
    const { slopes, figures } = fly(base, [directionOf(by, base, altitude)], 'tight')
    const moved = (share: number): Float64Array => {
      const stage = base.stages[0]!
      const changed = Object.fromEntries(
        Object.entries(by).map(([name, rate]) => [name, (stage[name as keyof typeof stage] as number) + share * rate]),
      )
      return flyThrough(
        null,
        planOf({ ...stage, ...changed }, EARTH, share * altitude + (altitude > 0 ? 100 : 0)),
        [],
        1e-12,
        null,
      ).figures
    }
    const from =
      altitude > 0 ? fly(planOf({}, EARTH, 100), [directionOf(by, base, altitude)], 'tight') : { slopes, figures }
    for (const name of [
      'apoapsis',
      'burnout speed',
      'burnout altitude',
      'peak g',
      'max q',
      'max speed',
      'drag loss',
      'gravity loss',
    ] as const) {
      // Richardson: central differences at h and h/2, errors of h² taken out.
      const central = (h: number): number => (moved(h)[at(name)]! - moved(-h)[at(name)]!) / (2 * h)
      const [wide, narrow] = [central(4e-3), central(2e-3)]
      const expected = (4 * narrow - wide) / 3
      const scale = Math.max(Math.abs(expected), 0.01 * Math.abs(from.figures[at(name)]!))
      expect(
        Math.abs(from.slopes[at(name)]! - expected) / scale,
        `${name}: ${from.slopes[at(name)]} for ${expected}`,
      ).toBeLessThan(1e-4)
    }
  })

  test('by the propellant of a rocket held on the pad are zero: it burns before it lifts', () => {
    const held = planOf({ throttleCap: 0.2 })
    const { slopes } = fly(held, [directionOf({ propellantMass: 1 }, held)], 'tight')
    for (const name of ['apoapsis', 'burnout speed', 'peak g', 'max q', 'drag loss'] as const)
      expect(slopes[at(name)]! === 0, name).toBe(true)
  })
})

describe('numbers that no rocket has', () => {
  test.each<[string, Plan]>([
    ['a drag of 1e9', planOf({ drag: constantCurve(1e9) })],
    ['a world of one metre', planOf({}, { radius: 1, gravity: 9, air: null })],
    [
      'air that ends within a millimetre',
      planOf(
        {},
        {
          radius: 6e6,
          gravity: 9,
          air: { kind: 'exponential', pressure: 1e5, density: 1, scaleHeight: 1e-3, soundSpeed: 300, top: 1 },
        },
      ),
    ],
    [
      'an atmosphere of lead',
      planOf(
        {},
        {
          radius: 6e6,
          gravity: 9,
          air: { kind: 'exponential', pressure: 1e5, density: 11340, scaleHeight: 8000, soundSpeed: 1200, top: 1e5 },
        },
      ),
    ],
    ['a thrust of 1e15 N', planOf({ vacuumThrust: 1e15, seaLevelThrust: 1e15 })],
  ])('%s ends in a named outcome, with no wrong number', (_, plan) => {
    const flown = fly(plan, [], 'tight')
    expect(['comes down', 'escapes', 'never leaves the pad', 'could not be flown']).toContain(flown.outcome)
    if (flown.outcome === 'could not be flown') expect([...flown.figures].every(Number.isNaN)).toBe(true)
    else expect(Number.isNaN(flown.figures[at('apoapsis')]!)).toBe(false)
  })
})
