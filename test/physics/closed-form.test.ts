import { describe, expect, test } from 'vitest'
import { airAt, type BodyNumbers, EARTH, FLOWN, type FlownName, fly, type Plan } from '../../solver/flight/index.ts'
import { constantCurve } from '../../solver/model/curve.ts'
import { planOf } from '../support/vehicles.ts'

const G0 = 9.80665

/** Gravity the same all the way up: a body so large that a hundred kilometres do not matter. */
const UNIFORM: BodyNumbers = { radius: 1e16, gravity: G0, air: null }

function figures(plan: Plan): Record<FlownName, number> {
  const flown = fly(plan, [], 'tight')
  return Object.fromEntries(FLOWN.map((name, i) => [name, flown.figures[i]!])) as Record<FlownName, number>
}

/** A motor by its exhaust speed, mass ratio and burn time, the rocket weighing 100 kg empty. */
function motor(exhaustSpeed: number, ratio: number, burn: number): Plan {
  const propellantMass = 100 * (ratio - 1)
  const thrust = (propellantMass / burn) * exhaustSpeed
  return planOf(
    {
      dryMass: 100,
      propellantMass,
      vacuumThrust: thrust,
      seaLevelThrust: thrust,
      exhaustSpeed,
      throttleCap: 1,
      referenceArea: 0,
    },
    UNIFORM,
  )
}

// Closed forms: Sutton & Biblarz, Rocket Propulsion Elements, ch. 4 (gravity-field flight); numbers computed from them.
describe('a burn straight up in uniform gravity without drag', () => {
  test.each([
    {
      c: 2000,
      ratio: 2,
      burn: 20,
      speed: 1190.161361,
      altitude: 10312.782778,
      apex: 82533.371129,
      time: 141.362684,
      felt: 10.197162,
    },
    {
      c: 2300,
      ratio: 3.5,
      burn: 60,
      speed: 2292.955828,
      altitude: 51195.514139,
      apex: 319260.879327,
      time: 293.816423,
      felt: 9.77228,
    },
    {
      c: 2200,
      ratio: 1.2,
      burn: 3,
      speed: 371.687475,
      altitude: 539.258701,
      apex: 7583.02895,
      time: 40.901574,
      felt: 14.955838,
    },
  ])(
    'of mass ratio $ratio in $burn s gives the closed form',
    ({ c, ratio, burn, speed, altitude, apex, time, felt }) => {
      const found = figures(motor(c, ratio, burn))
      expect(found['burnout speed']).toBeCloseTo(speed, 5)
      expect(found['burnout altitude']).toBeCloseTo(altitude, 4)
      expect(found.apoapsis).toBeCloseTo(apex, 3)
      expect(found['apoapsis time']).toBeCloseTo(time, 5)
      expect(found['peak g'] / G0).toBeCloseTo(felt, 5)
      // The rocket equation: what gravity left of c ln R.
      expect(found['burnout speed'] + found['gravity loss']).toBeCloseTo(c * Math.log(ratio), 8)
      expect(found['gravity loss']).toBeCloseTo(G0 * burn, 5)
    },
  )
})

// Two-body energy: H = R v²/(2 GM/R − v²). GM and mean radius of the Earth as in the worked examples.
describe('a coast straight up against inverse-square gravity', () => {
  const radius = 6371008.8
  const body: BodyNumbers = { radius, gravity: 3.986004418e14 / radius ** 2, air: null }
  test.each([
    [1000, 51325.5182],
    [1500, 116657.169],
    [2000, 210386.7667],
  ])('begun at %i m/s tops out at %f m', (speed, height) => {
    // A burn so short that it ends on the pad at this speed: c ln R − g t.
    const burn = 1e-6
    const exhaustSpeed = 3000
    const propellantMass = 100 * (Math.exp((speed + body.gravity * burn) / exhaustSpeed) - 1)
    const thrust = (propellantMass / burn) * exhaustSpeed
    const found = figures(
      planOf(
        {
          dryMass: 100,
          propellantMass,
          vacuumThrust: thrust,
          seaLevelThrust: thrust,
          exhaustSpeed,
          throttleCap: 1,
          referenceArea: 0,
        },
        body,
      ),
    )
    expect(found['burnout speed']).toBeCloseTo(speed, 6)
    // The burn itself rises half a millimetre or so.
    expect(Math.abs(found.apoapsis - height)).toBeLessThan(2e-3)
  })
})

// Standard closed form for constant mass and air: v = q tanh(q k t/m), h = (m/k) ln cosh(q k t/m); coast (m/2k) ln(1 + k v²/mg).
describe('a powered rise of constant mass in uniform air with quadratic drag', () => {
  const air: BodyNumbers = {
    radius: 1e16,
    gravity: G0,
    air: { kind: 'exponential', pressure: 101325, density: 1.225, scaleHeight: 1e14, soundSpeed: 340, top: 1e9 },
  }
  test.each([
    {
      mass: 1,
      cd: 0.75,
      diameter: 0.054,
      thrust: 30,
      burn: 2,
      speed: 39.280283,
      altitude: 39.827331,
      apex: 112.624178,
    },
    {
      mass: 25,
      cd: 0.5,
      diameter: 0.15,
      thrust: 1500,
      burn: 4,
      speed: 189.894481,
      altitude: 390.424421,
      apex: 1742.914065,
    },
  ])(
    'of $mass kg under $thrust N gives the closed form',
    ({ mass, cd, diameter, thrust, burn, speed, altitude, apex }) => {
      // An exhaust so fast that hardly any mass is spent: 1e-9 of it.
      const propellantMass = 1e-9 * mass
      const exhaustSpeed = (thrust * burn) / propellantMass
      const found = figures(
        planOf(
          {
            dryMass: mass,
            propellantMass,
            vacuumThrust: thrust,
            seaLevelThrust: thrust,
            exhaustSpeed,
            throttleCap: 1,
            referenceArea: (Math.PI / 4) * diameter ** 2,
            drag: constantCurve(cd),
          },
          air,
        ),
      )
      expect(found['burnout speed']).toBeCloseTo(speed, 5)
      expect(found['burnout altitude']).toBeCloseTo(altitude, 5)
      expect(found.apoapsis).toBeCloseTo(apex, 4)
      expect(found['max q']).toBeCloseTo(0.5 * 1.225 * speed ** 2, 1)
      expect(found['max mach']).toBeCloseTo(speed / 340, 6)
    },
  )
})

// Dynamic pressure and mach in the 1976 standard, worked from its table.
describe('dynamic pressure and mach', () => {
  test.each([
    [11000, 340, 21085.5304, 1.151942],
    [13400, 500, 31295.6492, 1.694515],
    [30000, 900, 7456.119, 2.983009],
  ])('at %i m and %i m/s', (altitude, speed, q, mach) => {
    expect(0.5 * airAt(EARTH, 'density', altitude) * speed ** 2).toBeCloseTo(q, 2)
    expect(speed / airAt(EARTH, 'sound speed', altitude)).toBeCloseTo(mach, 6)
  })
})
