import type { BodyNumbers, Plan } from '../../solver/flight/index.ts'
import { constantCurve } from '../../solver/model/curve.ts'
import { planOf } from '../support/vehicles.ts'

// Flights whose figures follow from a formula; the numbers are worked out from the formulas of the sources named.

const G0 = 9.80665

/** A rocket of 100 kg empty that spends its propellant in `burn` seconds, without drag. */
function motor(body: BodyNumbers, exhaustSpeed: number, propellantMass: number, burn: number): Plan {
  const thrust = (propellantMass / burn) * exhaustSpeed
  const numbers = { vacuumThrust: thrust, seaLevelThrust: thrust, exhaustSpeed, throttleCap: 1, referenceArea: 0 }
  return planOf({ ...numbers, dryMass: 100, propellantMass }, body)
}

/** Gravity the same all the way up: a body so large that a hundred kilometres do not matter. */
const UNIFORM: BodyNumbers = { radius: 1e16, gravity: G0, air: null }

/** Burns in uniform gravity without drag (Sutton & Biblarz, Rocket Propulsion Elements, ch. 4): exhaust speed c, mass ratio, burn time; felt in g0. */
export const BURNS = [
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
] as const

export function burnPlan({ c, ratio, burn }: { c: number; ratio: number; burn: number }): Plan {
  return motor(UNIFORM, c, 100 * (ratio - 1), burn)
}

/** Coasts against inverse-square gravity, by two-body energy: H = R v²/(2 GM/R − v²); speed [m/s], height [m]. */
export const COASTS = [
  [1000, 51325.5182],
  [1500, 116657.169],
  [2000, 210386.7667],
] as const

const RADIUS = 6371008.8
const EARTH_MASS: BodyNumbers = { radius: RADIUS, gravity: 3.986004418e14 / RADIUS ** 2, air: null }

/** A burn so short that it ends on the pad at this speed: c ln R − g t. */
export function coastPlan(speed: number): Plan {
  const burn = 1e-6
  return motor(EARTH_MASS, 3000, 100 * (Math.exp((speed + EARTH_MASS.gravity * burn) / 3000) - 1), burn)
}

/** Powered rises of constant mass in uniform air: v = q tanh(q k t/m), h = (m/k) ln cosh(q k t/m); coast (m/2k) ln(1 + k v²/mg). */
export const RISES = [
  { mass: 1, cd: 0.75, diameter: 0.054, thrust: 30, burn: 2, speed: 39.280283, altitude: 39.827331, apex: 112.624178 },
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
] as const

const THICK: BodyNumbers = {
  radius: 1e16,
  gravity: G0,
  air: { kind: 'exponential', pressure: 101325, density: 1.225, scaleHeight: 1e14, soundSpeed: 340, top: 1e9 },
}

export function risePlan({ mass, cd, diameter, thrust, burn }: (typeof RISES)[number]): Plan {
  // An exhaust so fast that hardly any mass is spent: 1e-9 of it.
  const propellantMass = 1e-9 * mass
  return planOf(
    {
      dryMass: mass,
      propellantMass,
      vacuumThrust: thrust,
      seaLevelThrust: thrust,
      exhaustSpeed: (thrust * burn) / propellantMass,
      throttleCap: 1,
      referenceArea: (Math.PI / 4) * diameter ** 2,
      drag: constantCurve(cd),
    },
    THICK,
  )
}
