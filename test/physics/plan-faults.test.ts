import { describe, expect, test } from 'vitest'
import { EARTH, FLOWN, type FlownName, fly, type Plan, planFault, whyNone } from '../../solver/flight/index.ts'
import type { BodyNumbers, ExponentialAir, StageNumbers } from '../../solver/flight/plan.ts'
import { warmDay } from '../../solver/flight/warm-day.ts'
import { MOON, marsBody } from '../../solver/flight/worlds.ts'
import { constantCurve, pchip } from '../../solver/model/curve.ts'
import { planOf } from '../support/vehicles.ts'

const AIR: ExponentialAir = {
  kind: 'exponential',
  pressure: 1e5,
  density: 1,
  scaleHeight: 7000,
  soundSpeed: 300,
  top: 6e4,
}
const world = (air: Partial<ExponentialAir> | null, rest: Partial<BodyNumbers> = {}): BodyNumbers => ({
  radius: 6e5,
  gravity: 9.8,
  air: air && { ...AIR, ...air },
  ...rest,
})
const knotted = (...coefficients: number[]): StageNumbers['drag'] => ({
  knots: Float64Array.of(0, 1, 2),
  coefficients: Float64Array.from(coefficients),
})

describe('a plan that no rocket has is told in words', () => {
  test.each<[string | null, Plan]>([
    [null, planOf({})],
    [null, planOf({ propellantMass: 0, seaLevelThrust: 0, referenceArea: 0 })],
    [null, planOf({ seaLevelThrust: 17500 })],
    ['the dry mass is not above zero', planOf({ dryMass: 0 })],
    ['the dry mass is not a finite number', planOf({ dryMass: Number.NaN })],
    ['the propellant mass is below zero', planOf({ propellantMass: -1 })],
    ['the propellant mass is not a finite number', planOf({ propellantMass: Number.POSITIVE_INFINITY })],
    ['the vacuum thrust is not above zero', planOf({ vacuumThrust: 0 })],
    ['the sea level thrust is below zero', planOf({ seaLevelThrust: -1 })],
    ['the sea level thrust is above the vacuum thrust', planOf({ seaLevelThrust: 17501 })],
    ['the specific impulse is not above zero', planOf({ exhaustSpeed: 0 })],
    ['the throttle cap is not above zero', planOf({ throttleCap: 0 })],
    ['the reference area is below zero', planOf({ referenceArea: -0.1 })],
    ['a flight has one stage, not 2', { ...planOf({}), stages: [...planOf({}).stages, ...planOf({}).stages] }],
  ])('%s', (fault, plan) => expect(planFault(plan)).toBe(fault))

  test.each<[string | null, BodyNumbers, number]>([
    [null, world({}), 0],
    [null, world({ pressure: 0, density: 0 }), 0],
    [null, world({ soundSpeed: Number.NaN }), 0],
    [null, MOON, -1e6],
    ["the body's radius is not above zero", world({}, { radius: 0 }), 0],
    ["the body's surface gravity is not above zero", world({}, { gravity: 0 }), 0],
    ["the body's radius is not above zero", { ...MOON, radius: -1 }, 0],
    ["the body's surface gravity is not above zero", { ...EARTH, gravity: -1 }, 0],
    ['the surface pressure is below zero', world({ pressure: -1 }), 0],
    ['the surface density is below zero', world({ density: -1 }), 0],
    ['the scale height is not above zero', world({ scaleHeight: 0 }), 0],
    ['the sound speed is not above zero', world({ soundSpeed: 0 }), 0],
    ['the atmosphere top is not above zero', world({ top: 0 }), 0],
    ['the temperature offset leaves air at or below absolute zero', { ...EARTH, air: warmDay(-187) }, 0],
    ['the launch altitude is not a finite number', EARTH, Number.NaN],
    ["the launch altitude is at or below the body's centre", MOON, -MOON.radius],
    [null, EARTH, -5000],
    ['the launch altitude is more than 5 km below sea level, where the standard air is not defined', EARTH, -5001],
    [null, marsBody(), -10000],
    ["the launch altitude is below the lowest altitude for which the body's air is told", marsBody(), -10001],
  ])('%s', (fault, body, altitude) => expect(planFault(planOf({}, body, altitude))).toBe(fault))

  test.each<[string | null, StageNumbers['drag'], BodyNumbers]>([
    [null, constantCurve(0), EARTH],
    [null, pchip([0, 1, 2], [0.3, 0.6, 0]), EARTH],
    ['the drag coefficient is below zero', constantCurve(-0.1), EARTH],
    ['the drag coefficient is below zero', knotted(0.3, 0, 0, 0, -0.1, 0.2, 0, 0), EARTH],
    ['the drag coefficient is below zero', knotted(0.3, 0, 0, 0, 0.3, -0.31, 0, 0), EARTH],
    ['the drag coefficient is not a finite number', knotted(0.3, 0, 0, Number.NaN, 0.3, 0, 0, 0), EARTH],
    [null, pchip([0, 1, 2], [0.3, 0.6, 0.5]), world({})],
    [null, pchip([0, 1, 2], [0.3, 0.6, 0.5]), MOON],
    [null, pchip([0, 1, 2], [0.3, 0.6, 0.5]), marsBody()],
    [null, constantCurve(0.3), world({ soundSpeed: Number.NaN })],
    [null, knotted(0.3, 0, 0, 0, 0.3, 0, 0, 0), world({ soundSpeed: Number.NaN })],
    [
      "the drag coefficient hangs on mach, but the body's air has no sound speed",
      pchip([0, 1, 2], [0.3, 0.6, 0.5]),
      world({ soundSpeed: Number.NaN }),
    ],
    [
      "the drag coefficient hangs on mach, but the body's air has no sound speed",
      knotted(0.3, 0, 0, 0, 0.4, 0, 0, 0),
      world({ soundSpeed: Number.NaN }),
    ],
  ])('%s', (fault, drag, body) => expect(planFault(planOf({ drag }, body))).toBe(fault))
})

describe('why a flight has no value for a figure', () => {
  const stays = 'the rocket never leaves the pad, so it does not coast'
  const cases: readonly (readonly [string, Plan, Partial<Record<FlownName, string>>])[] = [
    ['off the Earth', planOf({}), {}],
    ['held down', planOf({ throttleCap: 0.05 }), { 'peak g coasting': stays, 'max q coasting': stays }],
    [
      'with nothing to burn',
      planOf({ propellantMass: 0 }),
      {
        'burnout ratio': 'there is no propellant, so nothing burns out',
        'burnout altitude': 'there is no propellant, so nothing burns out',
        'burnout speed': 'there is no propellant, so nothing burns out',
        'peak g coasting': stays,
        'max q coasting': stays,
      },
    ],
    [
      'off the Moon',
      planOf({ propellantMass: 100 }, MOON),
      {
        'max mach': 'this body has no air, so there is no mach number',
        'max q altitude': 'this body has no air, so its dynamic pressure is zero everywhere',
      },
    ],
    [
      'from above all air',
      planOf({ propellantMass: 100 }, world({}), 6e4),
      {
        'max mach': 'the flight stays above the air, so there is no mach number',
        'max q altitude': 'the flight stays above the air, so its dynamic pressure is zero everywhere',
      },
    ],
    [
      'through air without a sound speed',
      planOf({ propellantMass: 100 }, world({ soundSpeed: Number.NaN })),
      { 'max mach': "this body's air has no sound speed, so there is no mach number" },
    ],
    [
      'away for good',
      planOf({}, world(null, { radius: 2e5, gravity: 0.5 })),
      {
        'apoapsis speed': 'the rocket escapes, so there is no highest point',
        'max mach': 'this body has no air, so there is no mach number',
        'max q altitude': 'this body has no air, so its dynamic pressure is zero everywhere',
      },
    ],
  ]
  test.each(cases)('%s', (_, plan, expected) => {
    const flown = fly(plan, [], 'tight')
    const told = FLOWN.filter((__, k) => Number.isNaN(flown.figures[k]!)).map(name => [
      name,
      whyNone(name, plan, flown),
    ])
    expect(Object.fromEntries(told)).toEqual(expected)
  })
  test('whose numbers are too extreme, or its drag coefficient jumps so far at a mach number that the rocket is held there', () => {
    const plan = planOf({ drag: constantCurve(1e300) })
    const flown = fly(plan, [], 'tight')
    expect(flown.outcome).toBe('could not be flown')
    for (const name of FLOWN)
      expect(whyNone(name, plan, flown)).toBe(
        'this flight could not be integrated to the asked accuracy: its numbers are too extreme, or its drag coefficient jumps so far at a mach number that the rocket is held there',
      )
  })
})
