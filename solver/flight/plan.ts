import type { Curve } from '../model/expr.ts'
import type { Profile } from './profile.ts'
import type { AirState } from './us76.ts'

/** A body in numbers, SI: m, m/s2, Pa, kg/m3, m, m/s, m. */
export interface BodyNumbers {
  readonly radius: number
  readonly gravity: number
  readonly air: { readonly kind: 'us76' } | ExponentialAir | ProfileAir | null
}

/** p and ρ fall as exp(−h/scaleHeight) from their values at h = 0 up to `top`, none above; sound speed constant, NaN where none is given (no mach). */
export interface ExponentialAir {
  readonly kind: 'exponential'
  readonly pressure: number
  readonly density: number
  readonly scaleHeight: number
  readonly soundSpeed: number
  readonly top: number
}

/** Any air in layers, up to `top` [m] and from `floor` up; `space`: where space begins, unless told otherwise. NaN where it tells no sound speed or temperature. */
export interface ProfileAir {
  readonly kind: 'profile'
  readonly profile: Profile
  readonly floor: number
  readonly top: number
  readonly space: number
  readonly tellsSound: boolean
  /** Altitudes, rising, between which its pressure, density and temperature each only rise or only fall; `top` is among them. */
  readonly turns: readonly number[]
  /** Why there can be no such air, in words; absent where there can. */
  readonly fault?: string
  readonly state: (altitude: number) => AirState
  /** Its change with altitude, at an edge of the upper side. */
  readonly slope: (altitude: number) => AirState
}

/** The numbers of one stage, SI; used for values and, lever by lever, for their derivatives. */
export interface StageNumbers {
  readonly dryMass: number
  readonly propellantMass: number
  readonly vacuumThrust: number
  readonly seaLevelThrust: number
  /** Specific impulse in vacuum × g0 [m/s]. */
  readonly exhaustSpeed: number
  readonly throttleCap: number
  readonly referenceArea: number
  /** Drag coefficient over mach. Knots are shared by the values and all derivatives of one plan. A single constant: knots [0], coefficients [c,0,0,0]. */
  readonly drag: Curve
}

export interface Plan {
  readonly body: BodyNumbers
  readonly launchAltitude: number
  readonly stages: readonly StageNumbers[]
  /** Which of the drag curve's knots are real (table knots, jumps), where the integration restarts: 1, else 0. */
  readonly restarts: Uint8Array
}

/** The change of a plan per unit of one lever; the body may not depend on a lever here. */
export interface Direction {
  readonly launchAltitude: number
  readonly stages: readonly StageNumbers[]
}

/**
 * Relative tolerance of each step. loose 1e-4, without restarts at layer edges and drag knots (search starts); medium 1e-6; tight 1e-8, the flight
 * that is reported: over 3,200 invented vehicles its figures came within 2e-7 of an independent integration, at 1e-9 within 3e-8 for a third more work.
 */
export type Accuracy = 'loose' | 'medium' | 'tight'

/** What a flight gives, in the order of the output array; SI. Algebraic figures (liftoff ratio, masses, ideal delta v, burn time) are the network's. */
export const FLOWN = [
  'burnout ratio',
  'burnout altitude',
  'burnout speed',
  'peak g',
  'max q',
  'max q altitude',
  'max speed',
  'max mach',
  'apoapsis',
  'apoapsis time',
  'apoapsis speed',
  'gravity loss',
  'drag loss',
  'back pressure loss',
  // For the search only: one smooth quantity each (DEVELOPERS.md, "Search figures").
  'peak g burning',
  'peak g coasting',
  'max q burning',
  'max q coasting',
  'apoapsis energy',
] as const
export type FlownName = (typeof FLOWN)[number]

/** `could not be flown`: the integration did not reach the asked accuracy within its step limit; all figures are NaN. */
export type FlightOutcome = 'comes down' | 'escapes' | 'never leaves the pad' | 'could not be flown'

/** One flown flight. `figures[i]` is FLOWN[i], NaN where the flight has none (see `whyNone`); `slopes[i * lanes + l]` its derivative along direction l, 0 where the figure is not finite. */
export interface Flown {
  readonly outcome: FlightOutcome
  readonly figures: Float64Array
  readonly slopes: Float64Array
  /** Right-hand sides evaluated, derivatives not counted in. */
  readonly evaluations: number
}
