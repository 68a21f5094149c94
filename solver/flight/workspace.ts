import type { Profile } from './profile.ts'

/**
 * Where a flight keeps its numbers while it is integrated. All arrays live on between flights and are filled anew by each:
 * nothing is allocated inside a step, and no number is a module-level variable (those are boxed at each write).
 */
export interface Workspace {
  /** The motion's constants, the step in hand and what it found, at the places named below. */
  readonly numbers: Float64Array
  readonly flags: Int32Array
  /** The air in use (see Profile); an exponential body needs none of it. */
  air: Float64Array
  byKilometre: Uint16Array
  profile: Profile | null
  /** Drag pieces: piece p begins at mach `starts[p]`, coefficients at `drag[4p…]`; p = 0 is what holds below the first knot. */
  starts: Float64Array
  drag: Float64Array
  restarts: Uint8Array
  /** Each lane's change of those coefficients: lane l, piece p at `laneDrag[4 (l pieces + p)…]`. */
  laneDrag: Float64Array
  /** Speed, acceleration and the two loss rates at the stages of a step. */
  readonly stages: Float64Array
  /** What derivatives need of each stage: records of TANGENT numbers. */
  readonly tangents: Float64Array
  /** A lane's own stages: change of speed and of acceleration. */
  readonly laneStages: Float64Array
  /** The lanes, LANE numbers each. */
  lanes: Float64Array
  /** Largest values so far, and their derivatives by lane: `bestSlopes[place * lanes + l]`. */
  readonly best: Float64Array
  bestSlopes: Float64Array
  /** Three ends of steps: where the step began, where it ended, and one to spare. */
  readonly ends: readonly [Float64Array, Float64Array, Float64Array]
}

// numbers: the body and the stage.
export const RADIUS = 0
export const GRAVITY = 1
/** Thrust in vacuum at the cap [N], and its loss per pressure [m2]. */
export const THRUST = 2
export const BACK = 3
/** Half the reference area [m2], times the drag coefficient where that is constant. */
export const DRAG = 4
/** Mass at release (burning) or for good (coasting) [kg], and mass flow [kg/s]. */
export const MASS = 5
export const FLOW = 6
/** A uniform layer: bottom [m] and segments per metre. */
export const BASE = 7
export const SCALE = 8
/** An exponential body: values at altitude 0, 1 / scale height, 1 / sound speed. */
export const PRESSURE_0 = 9
export const DENSITY_0 = 10
export const FALL = 11
export const SLOWNESS_0 = 12
/** The next altitude and mach numbers at which the integration restarts. */
export const EDGE = 13
export const MACH_LOW = 14
export const MACH_HIGH = 15
/** Release to burnout [s]; mass after it [kg]; speed that scales the errors [m/s]; relative tolerance. */
export const BURN_TIME = 16
export const DRY = 17
export const SPEED_SCALE = 18
export const TOLERANCE = 19
// numbers: the step.
export const STEP = 20
/** What error control would take next, were there no event. */
export const NATURAL = 21
export const ERROR_ALTITUDE = 22
export const ERROR_SPEED = 23
export const ERROR = 24
/** Drag loss and integral of pressure over mass: of the step, and so far. */
export const STEP_DRAG_LOSS = 25
export const STEP_PRESSURE_LOSS = 26
export const DRAG_LOSS = 27
export const PRESSURE_LOSS = 28
/** Where in the step the event lies: 0 the end, −1 the beginning. */
export const EVENT = 29
/** Coefficients of the speed about the end of the step (see hermite.ts), and of mach. */
export const HERMITE = 30
export const MACH_HERMITE = 36
export const ROOT = 40
export const NUMBERS = 44

// flags
export const AIR = 0
export const FIRST = 1
export const COUNT = 2
export const TABLE = 3
export const PIECE_LOW = 4
export const PIECE_HIGH = 5
export const PIECE = 6
export const PIECES = 7
export const LANES = 8
export const BURNING = 9
export const LAYER = 10
/** The step ends the burn. */
export const LAST = 11
export const EVALUATIONS = 12
export const LOOSE = 13
export const FLAGS = 16

/** Kinds of air in `flags[AIR]`. */
export const NO_AIR = 0
export const UNIFORM = 1
export const LOOKUP = 2
export const EXPONENTIAL = 3

/** Kinds of events. */
export const NONE = 0
export const LAYER_EDGE = 1
export const MACH_UP = 2
export const MACH_DOWN = 3
export const APOAPSIS = 4
export const BURNOUT = 5

// An end of a step.
export const ALTITUDE = 0
export const SPEED = 1
/** Since release [s]. */
export const TIME = 2
export const ACCELERATION = 3
export const JERK = 4
/** (F − D) / m, signed. */
export const FELT = 5
export const FELT_RATE = 6
export const Q = 7
export const Q_RATE = 8
export const MACH = 9
export const MACH_RATE = 10
/** D / m and p / m. */
export const DRAG_RATE = 11
export const DRAG_RATE_RATE = 12
export const PRESSURE_RATE = 13
export const PRESSURE_RATE_RATE = 14
export const DENSITY = 15
export const DENSITY_SLOPE = 16
export const SLOWNESS = 17
export const SLOWNESS_SLOPE = 18
export const PRESSURE_SLOPE = 19
/** The end's own tangent record begins here. */
export const RECORD = 20

// A tangent record: the acceleration's change with altitude and with speed, 1 / mass, pressure, density × v|v| × drag
// coefficient, felt acceleration, the drag rate's and the pressure rate's change with altitude, density × v|v|, and
// where on which drag piece.
export const BY_ALTITUDE = 0
export const BY_SPEED = 1
export const INVERSE_MASS = 2
export const PRESSURE = 3
export const DRAG_FORM = 4
export const FELT_HERE = 5
export const DRAG_BY_ALTITUDE = 6
export const PRESSURE_BY_ALTITUDE = 7
export const FLOW_FORM = 8
export const PAST_KNOT = 9
export const ON_PIECE = 10
export const TANGENT = 11
export const END = RECORD + TANGENT

// A lane: changes per unit of its lever.
export const D_ALTITUDE = 0
export const D_SPEED = 1
export const D_DRAG_LOSS = 2
export const D_PRESSURE_LOSS = 3
export const D_MASS = 4
export const D_FLOW = 5
export const D_THRUST = 6
export const D_BACK = 7
export const D_DRAG = 8
/** Altitude, speed and acceleration where the step began. */
export const D_ALTITUDE_0 = 9
export const D_SPEED_0 = 10
export const D_ACCELERATION_0 = 11
/** The time of the event in hand, at which a peak is taken, and altitude and speed there. */
export const D_EVENT = 12
export const D_ALTITUDE_X = 13
export const D_SPEED_X = 14
export const D_BURN_TIME = 15
export const D_DRY = 16
/** The first four, kept while a peak is visited. */
export const D_KEPT = 17
export const LANE = 21

// Places in `best`.
export const PEAK_G = 0
export const MAX_Q = 2
export const MAX_SPEED = 4
export const MAX_MACH = 5
export const MAX_Q_ALTITUDE = 6
/** Times have no derivatives: they serve the history. */
export const MAX_Q_TIME = 8
export const BEST = 10

export function createWorkspace(): Workspace {
  return {
    numbers: new Float64Array(NUMBERS),
    flags: new Int32Array(FLAGS),
    air: new Float64Array(0),
    byKilometre: new Uint16Array(0),
    profile: null,
    starts: new Float64Array(0),
    drag: new Float64Array(0),
    restarts: new Uint8Array(0),
    laneDrag: new Float64Array(0),
    stages: new Float64Array(4 * 8),
    tangents: new Float64Array(TANGENT * 8),
    laneStages: new Float64Array(2 * 8),
    lanes: new Float64Array(0),
    best: new Float64Array(BEST),
    bestSlopes: new Float64Array(0),
    ends: [new Float64Array(END), new Float64Array(END), new Float64Array(END)],
  }
}
