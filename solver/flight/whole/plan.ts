import type { Curve } from '../../model/expr.ts'
import type { BodyNumbers, StageNumbers } from '../plan.ts'

/** One stage of a whole flight, SI; used for values and, lever by lever, for their derivatives (a shape and its restarts have none). */
export interface WholeStage extends StageNumbers {
  /** Burnout to drop, and drop below to ignition [s]. */
  readonly separationDelay: number
  readonly ignitionDelay: number
}

/** A parachute: area × drag coefficient [m2], altitude [m], time to fill [s], and the largest dynamic pressure [Pa] and speed [m/s] at which it may open (Infinity: any). */
export interface Canopy {
  readonly area: number
  readonly altitude: number
  readonly fillTime: number
  readonly safeQ: number
  readonly safeSpeed: number
}

/** What a lever may change of a whole flight; the numbers themselves, or their change per unit of one lever. */
export interface WholeNumbers {
  readonly launchAltitude: number
  /** From the horizontal [rad]; along the rail [m]. */
  readonly railElevation: number
  readonly railLength: number
  /** NaN: none, so no heating. */
  readonly noseRadius: number
  readonly stages: readonly WholeStage[]
  readonly canopies: readonly Canopy[]
}

/** What no lever changes. */
export interface WholePlan extends WholeNumbers {
  readonly body: BodyNumbers
  /** Where space begins [m]; null: at the ground. */
  readonly space: number | null
  /** Sutton and Graves's constant of the body's air [kg^0.5/m]; NaN: not known, so no heating. */
  readonly heating: number
  /** Each stage's thrust as a share of its vacuum thrust over time at full cap [s]; null: flat. */
  readonly shapes: readonly (Curve | null)[]
  /** Angle of thrust from the horizontal [rad] over time from ignition [s], or null: along the velocity. */
  readonly pitch: Curve | null
  /** For each stage which of its drag curve's knots are real: 1, else 0. */
  readonly restarts: readonly Uint8Array[]
  /** What a rider may feel on the way up and on the way down, or null. */
  readonly crewLimit: CrewLimit | null
  readonly entryCrewLimit: CrewLimit | null
}

/** The acceleration that a rider may feel [m/s2] over how long it lasts [s], or over the natural logarithm of that; never rising. */
export interface CrewLimit {
  readonly curve: Curve
  readonly overLogarithm: boolean
}

/** A change per unit of one lever. */
export type WholeDirection = WholeNumbers
