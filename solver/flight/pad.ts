import { airAt, airSlope } from './air.ts'
import type { Direction, Plan } from './plan.ts'
import { SEA_LEVEL_PRESSURE } from './us76-data.ts'

/** The pressure at which sea level thrust is stated [Pa]. */
export const REFERENCE_PRESSURE = SEA_LEVEL_PRESSURE

/** A stage on the pad, with the derivative of each number for one lever, or the numbers themselves. */
export interface Pad {
  /** F = thrust − back · pressure [N], [m2]. */
  readonly thrust: number
  readonly back: number
  /** Mass flow [kg/s]. */
  readonly flow: number
  readonly exhaustSpeed: number
  readonly dryMass: number
  /** At ignition and when the pad is left [kg]. */
  readonly liftoffMass: number
  readonly releaseMass: number
  /** Time held on the pad, and from release to burnout [s]. */
  readonly hold: number
  readonly burn: number
  /** Thrust [N], pressure [Pa] and gravity [m/s2] on the pad. */
  readonly padThrust: number
  readonly pressure: number
  readonly gravity: number
  readonly launchAltitude: number
}

/** Whether thrust passes weight before the propellant is spent, so that the rocket leaves the pad. */
export function leavesPad(plan: Plan): boolean {
  return standOnPad(plan).burn > 0
}

/** The numbers on the pad; `burn` is 0 where it is never left. */
export function standOnPad(plan: Plan): Pad {
  const stage = plan.stages[0]!
  const { exhaustSpeed, dryMass, propellantMass } = stage
  const { launchAltitude } = plan
  const thrust = stage.throttleCap * stage.vacuumThrust
  const back = (stage.throttleCap * (stage.vacuumThrust - stage.seaLevelThrust)) / REFERENCE_PRESSURE
  const flow = thrust / exhaustSpeed
  const pressure = airAt(plan.body, 'pressure', launchAltitude)
  const gravity = airAt(plan.body, 'gravity', launchAltitude)
  const padThrust = Math.max(0, thrust - back * pressure)
  const liftoffMass = dryMass + propellantMass
  const held = padThrust <= liftoffMass * gravity
  // Written so that a held rocket's flight does not hang on its dead propellant, not even by rounding.
  const releaseMass = held ? padThrust / gravity : liftoffMass
  const burn = held ? Math.max(0, (releaseMass - dryMass) / flow) : propellantMass / flow
  const lifts = propellantMass > 0 && burn > 0
  return {
    thrust,
    back,
    flow,
    exhaustSpeed,
    dryMass,
    liftoffMass,
    releaseMass,
    hold: lifts && held ? (liftoffMass - releaseMass) / flow : 0,
    burn: lifts ? burn : 0,
    padThrust,
    pressure,
    gravity,
    launchAltitude,
  }
}

/** Derivatives of the pad's numbers along one direction. */
export function padSlopes(plan: Plan, pad: Pad, direction: Direction): Pad {
  const stage = plan.stages[0]!
  const change = direction.stages[0]!
  const h = direction.launchAltitude
  const thrust = change.throttleCap * stage.vacuumThrust + stage.throttleCap * change.vacuumThrust
  const back =
    (change.throttleCap * (stage.vacuumThrust - stage.seaLevelThrust) +
      stage.throttleCap * (change.vacuumThrust - change.seaLevelThrust)) /
    REFERENCE_PRESSURE
  const flow = (thrust - pad.flow * change.exhaustSpeed) / stage.exhaustSpeed
  const pressure = h === 0 ? 0 : h * airSlope(plan.body, 'pressure', plan.launchAltitude)
  const gravity = h === 0 ? 0 : h * airSlope(plan.body, 'gravity', plan.launchAltitude)
  const padThrust = pad.padThrust > 0 ? thrust - back * pad.pressure - pad.back * pressure : 0
  const liftoffMass = change.dryMass + change.propellantMass
  const held = pad.hold > 0
  const releaseMass = held ? (padThrust - pad.releaseMass * gravity) / pad.gravity : liftoffMass
  const burnt = held ? releaseMass - change.dryMass : change.propellantMass
  return {
    thrust,
    back,
    flow,
    exhaustSpeed: change.exhaustSpeed,
    dryMass: change.dryMass,
    liftoffMass,
    releaseMass,
    hold: held ? (liftoffMass - releaseMass - pad.hold * flow) / pad.flow : 0,
    burn: (burnt - pad.burn * flow) / pad.flow,
    padThrust,
    pressure,
    gravity,
    launchAltitude: h,
  }
}

/** Thrust over weight at its best on the pad: when all propellant is spent; 0 where nothing burns. */
export function bestRatio(pad: Pad): number {
  return pad.padThrust / (pad.dryMass * pad.gravity)
}

/** Derivative of `bestRatio`. */
export function bestRatioSlope(pad: Pad, slopes: Pad): number {
  const weight = pad.dryMass * pad.gravity
  const weightSlope = slopes.dryMass * pad.gravity + pad.dryMass * slopes.gravity
  return (slopes.padThrust - (pad.padThrust / weight) * weightSlope) / weight
}
