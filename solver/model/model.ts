import type { Curve, Expr, Id } from './expr.ts'

/**
 * A lever's range in SI. With steps, setting k (0…count−1) is `settings[k]`, each the double nearest the exact decimal;
 * without, `settings` is null and `inward(x)` rounds a value to nine digits of the written unit, never out of the range.
 */
export interface Range {
  readonly from: number
  readonly to: number
  readonly settings: Float64Array | null
  readonly inward: (x: number) => number
}

export type Quantity =
  | { readonly role: 'fact'; readonly name: string; readonly value: Expr }
  | { readonly role: 'lever'; readonly name: string; readonly range: Range }
  | { readonly role: 'figure'; readonly name: string; readonly value: Expr }
  /** A figure that only a flight gives: output `output` (a name of the flight's own, as in "apoapsis" or "burn time of booster") of flight `flight`. */
  | { readonly role: 'flown'; readonly name: string; readonly flight: number; readonly output: string }

/** The bodies that are known without being described; their numbers stand in `flight/worlds.ts`. */
export type BuiltInBody = 'earth' | 'moon' | 'mars'

/** Where a flight takes place; slots are expressions of facts and levers, in SI. */
export type BodyModel =
  /** `warmth`: every temperature of the standard air is moved by so much [K]. */
  | { readonly kind: 'earth'; readonly warmth?: Expr }
  | { readonly kind: Exclude<BuiltInBody, 'earth'> }
  | {
      readonly kind: 'own'
      readonly radius: Expr
      readonly gravity: Expr
      readonly air: OwnAir | null
      readonly space: Expr | null
      /** Sutton and Graves's constant of its air [kg^0.5/m]; none: not known. */
      readonly heating?: Expr
      /** In place of `air`: rows of a table, with a constant sound speed if there is one. */
      readonly table?: AirTable
      readonly tableSound?: Expr
    }

/** A body's air by rows: altitudes rising [m], K, Pa, kg/m3; null where a column is not given. */
export interface AirTable {
  readonly altitude: Float64Array
  readonly temperature: Float64Array | null
  readonly pressure: Float64Array | null
  readonly density: Float64Array | null
}

export interface OwnAir {
  readonly pressure: Expr
  readonly density: Expr
  readonly scaleHeight: Expr
  /** Null: the body gives none, so its flights have no mach. */
  readonly soundSpeed: Expr | null
  readonly top: Expr
}

/** One stage's inputs, SI: kg, N, m/s (effective exhaust speed = specific impulse × g0), share, m2. */
export interface StageModel {
  readonly name: string
  readonly dryMass: Expr
  readonly propellantMass: Expr
  readonly vacuumThrust: Expr
  readonly seaLevelThrust: Expr
  readonly exhaustSpeed: Expr
  readonly throttleCap: Expr
  readonly referenceArea: Expr
  /** May hold `local`, the mach number. */
  readonly dragCoefficient: Expr
  /** Mach numbers at which `dragCoefficient` may have a knot or a jump: the integration restarts there. */
  readonly dragBreaks: readonly number[]
  /** Thrust in vacuum as a share of `vacuumThrust` over time at full cap [s]; none: flat. */
  readonly shape?: Curve
  /** Burnout to drop, drop below to ignition [s]; none: at once. */
  readonly separationDelay?: Expr
  readonly ignitionDelay?: Expr
}

/** The acceleration that a rider may feel [m/s2] over how long it lasts [s], or over the natural logarithm of that; never rising. */
export interface CrewLimitModel {
  readonly curve: Curve
  readonly overLogarithm: boolean
}

/** One parachute's inputs, SI: area × drag coefficient [m2], altitude [m], time to fill [s], and the limits within which it opens [Pa], [m/s]. */
export interface ParachuteModel {
  readonly name: string
  readonly area: Expr
  readonly altitude: Expr
  readonly fillTime: Expr
  readonly safeQ: Expr | null
  readonly safeSpeed: Expr | null
}

export interface FlightModel {
  readonly name: string
  readonly body: number
  readonly launchAltitude: Expr
  /** Burnt in this order. */
  readonly stages: readonly StageModel[]
  /** Whether the stages are blocks of their own, with figures of their own. */
  readonly staged?: boolean
  /** From the horizontal [rad], and along the rail [m]; none: straight up, no rail. */
  readonly railElevation?: Expr
  readonly railLength?: Expr
  /** [m]; none: no heating. */
  readonly noseRadius?: Expr
  /** By how much the air of Earth is warmer than the standard's [K]; the flight's body holds it too. */
  readonly warmth?: Expr
  readonly parachutes?: readonly ParachuteModel[]
  /** Angle of thrust from the horizontal [rad] over time from ignition [s]; none: along the velocity. */
  readonly pitch?: Curve
  /** What a rider may feel on the way up, and on the way down (the same unless told); none: no such figures. */
  readonly crewLimit?: CrewLimitModel
  readonly entryCrewLimit?: CrewLimitModel
}

export type Level = 'must' | 'should' | 'could'

/** A target on `value`; limits are expressions too. `scale` is the size used where a limit is zero (see margins). */
export interface Target {
  readonly level: Level
  readonly value: Expr
  readonly limit:
    | { readonly kind: 'at least' | 'at most'; readonly value: Expr }
    | { readonly kind: 'within'; readonly from: Expr; readonly to: Expr }
    | { readonly kind: 'equal to'; readonly value: Expr; readonly tolerance: Expr | null }
}

export type Aim =
  | { readonly sense: 'least' | 'most'; readonly value: Expr }
  | { readonly sense: 'roomiest'; readonly value: null }

/** What the solver is given: numbers and relations in SI; it knows no text and no unit. */
export interface Model {
  readonly quantities: readonly Quantity[]
  readonly bodies: readonly BodyModel[]
  readonly flights: readonly FlightModel[]
  readonly targets: readonly Target[]
  readonly aims: readonly Aim[]
}

export type { Id }
